#include "geometry/cam.hpp"
#include "geometry/quantity.hpp"
#include "tests/support/near.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <numbers>
#include <string>

/// Events at a lift by hand, and events that no engine has.
namespace {

using namespace plenair::geometry;
using std::numbers::pi;

double deg(double degrees) {
    return from_unit(degrees, "deg");
}

Valve valve(double opens, double closes, double checking_lift = 1e-4) {
    Valve made;
    made.count = 2;
    made.head = 0.035;
    made.seat_width = 0.0014;
    made.seat_angle = deg(45);
    made.throat = 0.030;
    made.stem = 0.0055;
    made.lift = 0.0105;
    made.checking_lift = checking_lift;
    made.opens = opens;
    made.closes = closes;
    made.cd = {{0.05, 0.3}, {0.65, 0.45}};
    return made;
}

/// Intake opens and closes, exhaust opens and closes, about the usual dead centres.
Engine engine(double io, double ic, double eo, double ec) {
    Engine made;
    made.bore = 0.087;
    made.stroke = 0.075;
    made.rod = 0.138;
    made.compression_ratio = 10;
    made.firing_order = {1, 3, 4, 2};
    made.firing_angles = {0, pi, 2 * pi, 3 * pi};
    made.intake = valve(2 * pi - deg(io), 3 * pi + deg(ic));
    made.exhaust = valve(pi - deg(eo), 2 * pi + deg(ec));
    return made;
}

bool holds(const std::vector<Finding>& findings,
           Severity severity,
           const std::string& key,
           const std::string& part) {
    return std::any_of(findings.begin(), findings.end(), [&](const Finding& f) {
        return f.severity == severity && f.key == key && f.message.find(part) != std::string::npos;
    });
}

}  // namespace

TEST_CASE("cam: at the checking lift the events are those stated") {
    const auto v = valve(2 * pi - deg(28), 3 * pi + deg(64), 1e-3);
    const auto events = events_at(v, 1e-3);
    REQUIRE(events);
    CHECK(events->opens == near(v.opens, 1e-9));
    CHECK(events->closes == near(v.closes, 1e-9));
    CHECK(events->middle() == near(2 * pi + deg(108), 1e-9));
}

TEST_CASE("cam: a triangle of measured lift is cut where its sides say") {
    auto v = valve(2 * pi, 3 * pi);
    v.lift_angle = {0, deg(100), deg(250)};
    v.lift_value = {0, 0.010, 0};
    const auto events = events_at(v, 0.001);
    REQUIRE(events);
    CHECK(events->opens == near(2 * pi + deg(10), 1e-9));
    CHECK(events->closes == near(2 * pi + deg(235), 1e-9));
    CHECK_FALSE(events_at(v, 0.011));
}

TEST_CASE("cam: below the checking lift the ramp of 20 deg is followed, 3-4-5") {
    // Half of the checking lift stands at half of the ramp, by the symmetry of the polynomial.
    const auto v = valve(2 * pi - deg(5), 3 * pi + deg(38), 1.27e-3);
    const auto events = events_at(v, 0.5 * 1.27e-3);
    REQUIRE(events);
    CHECK(events->opens == near(v.opens - 0.5 * closing_ramp, 1e-9));
    CHECK(events->closes == near(v.closes + 0.5 * closing_ramp, 1e-9));
}

TEST_CASE("cam: events of 0.050 in taken for seat events lose area") {
    const auto seat = valve(2 * pi - deg(5), 3 * pi + deg(38));
    const auto card = valve(2 * pi - deg(5), 3 * pi + deg(38), 1.27e-3);
    CHECK(angle_area(card) > 1.05 * angle_area(seat));
}

TEST_CASE("cam: usual events give no finding") {
    for (const auto& e : {engine(28, 64, 66, 24), engine(5, 38, 40, 5), engine(-10, 20, 30, -5)}) {
        std::vector<Finding> findings;
        check_cams(e, {}, findings);
        CHECK(findings.empty());
    }
}

TEST_CASE("cam: 40 BBDC to 40 ABDC is refused by name, and the meant event is offered") {
    auto e = engine(28, 64, 40, 40);
    e.exhaust.closes = pi + deg(40);
    const auto findings = check_engine(e);
    CHECK(
        holds(findings,
              Severity::error,
              "valve.exhaust.closes",
              "exhaust duration: the valve is open for 80.0 deg from 40 deg BBDC to 40 deg ABDC"));
    CHECK(holds(findings, Severity::error, "valve.exhaust.closes", "is \"40 deg ATDC\" meant"));
}

TEST_CASE("cam: duration, lobe, overlap, order and lift are named") {
    const auto found = [](const Engine& e) { return check_engine(e); };
    CHECK(holds(found(engine(-20, -20, 66, 24)),
                Severity::warning,
                "valve.intake.opens",
                "intake duration: the valve is open for 140.0 deg"));
    CHECK(holds(found(engine(-100, 120, 66, 24)),
                Severity::warning,
                "valve.intake.opens",
                "intake lobe: the middle of the events stands 200.0 deg after") == false);
    CHECK(holds(found(engine(-100, 120, 66, 24)),
                Severity::error,
                "valve.intake.opens",
                "which is no intake stroke"));
    CHECK(holds(found(engine(80, 80, 80, 80)),
                Severity::warning,
                "valve.intake.opens",
                "overlap: both valves are open for 160.0 deg"));
    auto early = engine(28, 64, 66, 24);
    early.exhaust = valve(3 * pi - deg(10), 4 * pi + deg(20));
    CHECK(holds(found(early), Severity::error, "valve.intake.opens", "opens before the exhaust"));
    auto high = engine(28, 64, 66, 24);
    high.intake.lift = 0.020;
    CHECK(holds(found(high), Severity::warning, "valve.intake.lift", "above one half"));
    auto steep = engine(-30, 0, 66, 24);
    steep.intake.lift = 0.017;
    CHECK(holds(found(steep), Severity::warning, "valve.intake.lift", "lift against duration"));
}

#include <doctest/doctest.h>

#include "cases/study/case.hpp"
#include "cases/study/check.hpp"
#include "geometry/error.hpp"
#include "geometry/quantity.hpp"
#include "tests/support/near.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

using namespace plenair;
using geometry::from_unit;
using geometry::Profile;
using std::numbers::pi;

namespace {

geometry::Engine hill_climb_engine() {
    geometry::Engine engine;
    engine.firing_order = {1, 3, 4, 2};
    engine.firing_angles = {0, pi, 2 * pi, 3 * pi};
    engine.bore = 0.0874;
    engine.stroke = 0.0746;
    engine.rod = 0.138;
    engine.compression_ratio = 9.2;
    engine.pitch = 0.097;
    engine.max_speed = from_unit(8900, "rpm");
    auto& in = engine.intake;
    in = {2, 0.0355, 0.0014, pi / 4, 0.0308, 0.0055, 0.0108, 0.0001, 0, 0, {}, {}, {}};
    in.opens = 2 * pi - from_unit(28, "deg");
    in.closes = 3 * pi + from_unit(64, "deg");
    in.cd = {{0.05, 0.10, 0.15, 0.20, 0.25, 0.30}, {0.67, 0.66, 0.62, 0.56, 0.50, 0.44}};
    auto& out = engine.exhaust;
    out = {2, 0.0305, 0.0015, pi / 4, 0.0264, 0.0055, 0.0102, 0.0001, 0, 0, {}, {}, {}};
    out.opens = pi - from_unit(66, "deg");
    out.closes = 2 * pi + from_unit(24, "deg");
    out.cd = {{0.05, 0.10, 0.15, 0.20, 0.25, 0.30, 0.35},
              {0.70, 0.71, 0.68, 0.64, 0.59, 0.54, 0.49}};
    return engine;
}

/// Four-cylinder hill-climb engine with a two-chamber plenum and an end throttle.
Case hill_climb() {
    Case c;
    c.title = "hill-climb four";
    c.has_engine = true;
    c.engine = hill_climb_engine();
    geometry::Bank bank;
    geometry::Throttle throttle;
    throttle.bore = 0.068;
    throttle.shaft = 0.010;
    throttle.closed_angle = from_unit(8, "deg");
    bank.throttles = {throttle};
    geometry::Chamber pre;
    pre.length = 0.4;
    pre.area = Profile::linear(4100e-6, 2100e-6, 0.4);
    pre.height = 0.052;
    bank.pre_chamber = pre;
    geometry::Slot slot;
    slot.pieces.push_back({0.006, 0.388, Profile::constant(0.006)});
    slot.land = 0.008;
    slot.edge_radius = 0.002;
    bank.slot = slot;
    geometry::Chamber plenum;
    plenum.length = 0.4;
    plenum.area = Profile::constant(6400e-6);
    bank.plenum = plenum;
    for (const double x : {0.0545, 0.1515, 0.2485, 0.3455}) {
        geometry::Runner runner;
        runner.x = x;
        runner.length = 0.26;
        runner.port_length = 0.092;
        runner.diameter = Profile::stations({0, 0.168, 0.26}, {0.046, 0.043, 0.041});
        runner.bell_outer_diameter = 0.068;
        runner.wall_clearance = 0.062;
        bank.runners.push_back(runner);
    }
    bank.cylinders = {1, 2, 3, 4};
    c.intake.banks = {bank};
    return c;
}

double number(const CheckResult& result, const std::string& key) {
    const auto found = std::find_if(
        result.numbers.begin(), result.numbers.end(), [&](const auto& n) { return n.key == key; });
    INFO(key);
    REQUIRE(found != result.numbers.end());
    return found->value;
}

bool warns(const CheckResult& result, const std::string& text) {
    return std::any_of(result.warnings.begin(), result.warnings.end(), [&](const auto& warning) {
        return warning.find(text) != std::string::npos;
    });
}

}  // namespace

TEST_CASE("check: derived numbers of the hill-climb four agree with the hand calculation") {
    const auto result = check(hill_climb());
    // Hand calculation from the dimensions; as many digits as were printed there.
    CHECK(number(result, "engine.cylinder_displacement") == near(447.56e-6, 1e-5));
    CHECK(number(result, "engine.displacement") == near(1790.2e-6, 5e-5));
    CHECK(number(result, "pre_chamber.volume") == near(1.24e-3, 1e-12));
    CHECK(number(result, "pre_chamber.mean_area") == near(3100e-6, 1e-12));
    CHECK(number(result, "plenum.volume") == near(2.56e-3, 1e-12));
    CHECK(number(result, "plenum.volume_ratio") == near(1.43, 0, 0.005));
    CHECK(number(result, "chambers.volume_ratio") == near(2.12, 0, 0.005));
    CHECK(number(result, "slot.area") == near(2328e-6, 1e-12));
    CHECK(number(result, "throttle.bore_area") == near(3632e-6, 0, 0.5e-6));
    CHECK(number(result, "throttle.open_area") == near(2954e-6, 0, 0.5e-6));
    CHECK(number(result, "slot.cd") == near(0.875, 0, 0.001));
    CHECK(number(result, "valve.overlap") == near(from_unit(52, "deg"), 1e-12));
    CHECK(number(result, "valve.intake.duration") == near(from_unit(272, "deg"), 1e-12));
    CHECK(number(result, "engine.mean_piston_speed") == near(2 * 0.0746 * 8900 / 60, 1e-12));
}

TEST_CASE("check: slot and header ratios follow from Cd and the areas") {
    const auto result = check(hill_climb());
    const double effective = number(result, "slot.cd") * 2328e-6;
    CHECK(number(result, "slot.effective_area") == near(effective, 1e-12));
    CHECK(number(result, "slot.to_throttle") ==
          near(effective / (0.95 * number(result, "throttle.open_area")), 1e-12));
    CHECK(number(result, "header.number") == near(std::sqrt(1.05) * effective / 4100e-6, 1e-12));
    CHECK(number(result, "header.dynamic_heads") == near(std::pow(4100e-6 / effective, 2), 1e-12));
    CHECK(number(result, "slot.land_ratio") == near(8.0 / 12, 1e-12));
}

TEST_CASE("check: a uniform header gives the closed-form spread") {
    // Acrivos, Babcock, Pigford 1959: m 0.5052 gives a spread of 13.04 % (50 mm bore, 400 x 4 mm
    // slot, Cd 0.62).
    auto c = hill_climb();
    c.has_engine = false;
    c.model.regain = 1;
    auto& bank = c.intake.banks[0];
    bank.throttles.clear();
    bank.pre_chamber->area = Profile::constant(1963.5e-6);
    bank.pre_chamber->open_start = true;
    bank.slot->pieces = {{0, 0.4, Profile::constant(0.004)}};
    bank.slot->cd = 0.62;
    const auto result = check(c);
    CHECK(number(result, "header.number") == near(0.5052, 1e-4));
    CHECK(number(result, "header.spread") == near(0.1304, 0, 0.00005));
    CHECK_FALSE(warns(result, "pi/2"));
    bank.slot->pieces = {{0, 0.4, Profile::constant(0.016)}};
    CHECK(warns(check(c), "slot.width: header number m = 2.021 exceeds pi/2"));
}

TEST_CASE("check: a centre feed loads each half of the pre-chamber with half the slot") {
    auto c = hill_climb();
    auto& bank = c.intake.banks[0];
    bank.pre_chamber->area = Profile::constant(4000e-6);
    bank.slot->cd = 0.8;
    const double end = number(check(c), "header.number");
    bank.throttles[0].position = geometry::FeedPosition::side;
    bank.throttles[0].x = 0.2;
    CHECK(number(check(c), "header.number") == near(0.5 * end, 1e-9));
}

TEST_CASE("check: throttles side by side load the header as one, throttles at both ends as two") {
    auto c = hill_climb();
    auto& bank = c.intake.banks[0];
    bank.pre_chamber->area = Profile::constant(4000e-6);
    bank.slot->cd = 0.8;
    const double one = number(check(c), "header.number");
    bank.throttles.push_back(bank.throttles[0]);
    CHECK(number(check(c), "header.number") == near(one, 1e-12));
    bank.throttles[1].position = geometry::FeedPosition::end;
    CHECK(number(check(c), "header.number") == near(0.5 * one, 1e-12));
    for (auto& throttle : bank.throttles) {
        throttle.position = geometry::FeedPosition::side;
        throttle.x = 0.2;
    }
    CHECK(number(check(c), "header.number") == near(0.5 * one, 1e-9));
}

TEST_CASE("check: unusual but legal dimensions are warned of, once") {
    auto c = hill_climb();
    OperatingPoint shut;
    shut.name = "idle";
    shut.throttle_angle = from_unit(6, "deg");
    c.points = {shut};
    c.intake.banks[0].throttles[0].cd_table =
        geometry::CdTable{{from_unit(10, "deg"), from_unit(90, "deg")}, {0.8, 0.95}};
    const auto result = check(c);
    CHECK(warns(result, "valve.intake.cd: intake valve Cd table ends at L/D 0.3"));
    CHECK(warns(result, "point idle plate angle 6.0 deg is not above the closed stop at 8.0 deg"));
    CHECK(warns(result, "lies outside the Cd table"));
    c.warnings = {"case.toml:9:1: " + result.warnings.front()};
    CHECK(check(c).warnings.size() == result.warnings.size());
}

TEST_CASE("check: parts that do not fit are refused") {
    auto c = hill_climb();
    c.intake.banks[0].runners[3].x = 0.420;
    CHECK_THROWS_WITH_AS(
        (void)check(c),
        doctest::Contains("runner.x: runner 4 at x 420.0 mm lies outside plenum 0-400 mm"),
        InputError);
}

TEST_CASE("check: several banks are told apart by their names") {
    auto c = hill_climb();
    c.intake.banks.push_back(c.intake.banks[0]);
    c.intake.banks[0].name = "left";
    const auto result = check(c);
    CHECK(number(result, "bank.left.plenum.volume") == near(2.56e-3, 1e-12));
    CHECK(number(result, "bank.2.plenum.volume") == near(2.56e-3, 1e-12));
}

TEST_CASE("check: a Cd table that ends before the plate is wide open is warned of") {
    auto c = hill_climb();
    auto& throttle = c.intake.banks[0].throttles[0];
    const auto deg = [](double angle) { return from_unit(angle, "deg"); };
    throttle.cd_table = {{deg(10), deg(40)}, {0.80, 0.88}};
    const std::string words =
        "throttle.cd_table: the Cd table ends at 40.0 deg, where the plate is "
        "not wide open yet; its end value is held wide open";
    CHECK(warns(check(c), words));
    throttle.cd_table = {{deg(10), deg(40), deg(85)}, {0.80, 0.88, 0.95}};
    CHECK_FALSE(warns(check(c), "the Cd table ends"));
    // Plates that never stand wide open need no more of the table.
    throttle.cd_table = {{deg(10), deg(40)}, {0.80, 0.88}};
    c.points.resize(1);
    c.points[0].throttle_angle = deg(30);
    CHECK_FALSE(warns(check(c), "the Cd table ends"));
}

#include <doctest/doctest.h>

#include "geometry/clearance.hpp"
#include "geometry/quantity.hpp"
#include "tests/support/near.hpp"

#include <algorithm>
#include <numbers>
#include <string>
#include <vector>

using namespace plenair::geometry;
using std::numbers::pi;

namespace {

/// Two chambers, a slot and four runners that fit without a finding.
Intake fitting_intake() {
    Bank bank;
    Throttle throttle;
    throttle.bore = 0.068;
    throttle.shaft = 0.010;
    bank.throttles = {throttle};
    Chamber pre;
    pre.length = 0.4;
    pre.area = Profile::linear(4100e-6, 2100e-6, 0.4);
    pre.height = 0.052;
    bank.pre_chamber = pre;
    Slot slot;
    slot.pieces.push_back({0.006, 0.388, Profile::constant(0.006)});
    slot.land = 0.008;
    slot.edge_radius = 0.002;
    bank.slot = slot;
    Chamber plenum;
    plenum.length = 0.4;
    plenum.area = Profile::constant(6400e-6);
    bank.plenum = plenum;
    for (const double x : {0.0545, 0.1515, 0.2485, 0.3455}) {
        Runner runner;
        runner.x = x;
        runner.length = 0.26;
        runner.port_length = 0.092;
        runner.diameter = Profile::stations({0, 0.168, 0.26}, {0.046, 0.043, 0.041});
        runner.bell_outer_diameter = 0.068;
        runner.wall_clearance = 0.062;
        bank.runners.push_back(runner);
    }
    bank.cylinders = {1, 2, 3, 4};
    return {{bank}};
}

Engine sound_engine() {
    Engine engine;
    engine.firing_order = {1, 3, 4, 2};
    engine.firing_angles = {0, pi, 2 * pi, 3 * pi};
    engine.bore = 0.0874;
    engine.stroke = 0.0746;
    engine.rod = 0.138;
    engine.compression_ratio = 9.2;
    Valve& intake = engine.intake;
    intake = {2, 0.0355, 0.0014, pi / 4, 0.0308, 0.0055, 0.0106, 0.0001, 6, 10, {}, {}, {}};
    intake.cd = {{0.05, 0.30}, {0.67, 0.44}};
    engine.exhaust = intake;
    engine.exhaust.head = 0.0305 + 0.005;
    engine.exhaust.opens = 2;
    engine.exhaust.closes = 6.5;
    return engine;
}

bool holds(const std::vector<Finding>& findings,
           Severity severity,
           const std::string& key,
           const std::string& text) {
    return std::any_of(findings.begin(), findings.end(), [&](const Finding& f) {
        return f.severity == severity && f.key == key && f.message.find(text) != std::string::npos;
    });
}

}  // namespace

TEST_CASE("clearance: parts that fit give no finding") {
    CHECK(check_intake(fitting_intake()).empty());
    CHECK(check_engine(sound_engine()).empty());
    const auto intake = fitting_intake();
    const auto& bank = intake.banks.front();
    CHECK(end_clearance(bank.runners[0], *bank.plenum) == near(0.0315, 1e-12));
}

TEST_CASE("clearance: a runner outside the plenum is named with both positions") {
    auto intake = fitting_intake();
    intake.banks[0].runners[3].x = 0.420;
    const auto findings = check_intake(intake);
    CHECK(holds(
        findings,
        Severity::error,
        "runner.x",
        "runner 4 at x 420.0 mm lies outside plenum 0-400 mm; move it or lengthen plenum.length"));
}

TEST_CASE("clearance: bells larger than the pitch are warned of with their overlap") {
    auto intake = fitting_intake();
    for (auto& runner : intake.banks[0].runners) {
        runner.bell_outer_diameter = 0.100;
    }
    CHECK(holds(
        check_intake(intake),
        Severity::warning,
        "runner.bell_outer_diameter",
        "bell outer diameter 100.0 mm of runner 1 and runner 2 exceeds their pitch of 97.0 mm: "
        "overlap 3.0 mm"));
}

TEST_CASE("clearance: near walls are warned of below one and half a mouth diameter") {
    auto intake = fitting_intake();
    intake.banks[0].runners[1].wall_clearance = 0.045;
    intake.banks[0].runners[0].x = 0.045;
    const auto findings = check_intake(intake);
    CHECK(findings.size() == 2);
    CHECK(holds(findings,
                Severity::warning,
                "runner.wall_clearance",
                "runner 2 bell clearance 45.0 mm is below one mouth diameter, 46.0 mm"));
    CHECK(holds(findings,
                Severity::warning,
                "runner.x",
                "runner 1 end clearance 22.0 mm is below half a mouth diameter, 23.0 mm"));
}

TEST_CASE("clearance: bell and clearance fit under the plenum's height, and the remedy works") {
    auto intake = fitting_intake();
    auto& bank = intake.banks[0];
    for (auto& runner : bank.runners) {
        runner.protrusion = 0.012;
    }
    bank.plenum->height = 0.080;
    CHECK(check_intake(intake).empty());
    bank.plenum->height = 0.040;
    CHECK(holds(check_intake(intake),
                Severity::warning,
                "runner.wall_clearance",
                "runners 1, 2, 3, 4: protrusion 12.0 mm and bell clearance 62.0 mm, together 74.0 "
                "mm, exceed plenum.height, 40.0 mm; make runner.wall_clearance at most 28.0 mm or "
                "raise plenum.height"));
    for (auto& runner : bank.runners) {
        runner.wall_clearance = 0.028;
    }
    auto findings = check_intake(intake);
    CHECK(findings.size() == 4);
    CHECK(holds(findings, Severity::warning, "runner.wall_clearance", "below one mouth diameter"));
    for (auto& runner : bank.runners) {
        runner.wall_clearance.reset();
    }
    findings = check_intake(intake);
    CHECK(findings.size() == 1);
    CHECK(holds(findings,
                Severity::warning,
                "runner.protrusion",
                "under plenum.height 40.0 mm leaves a bell clearance of 28.0 mm, below one mouth"));
    bank.runners[1].protrusion = 0.070;
    CHECK(holds(check_intake(intake),
                Severity::error,
                "runner.protrusion",
                "runner 2: protrusion 70.0 mm exceeds plenum.height, 40.0 mm; make "
                "runner.protrusion smaller or raise plenum.height"));
}

TEST_CASE("clearance: without a height the section's circle is the room, as a warning") {
    auto intake = fitting_intake();
    intake.banks[0].runners[2].wall_clearance = 0.120;
    CHECK(holds(check_intake(intake),
                Severity::warning,
                "runner.wall_clearance",
                "runner 3: bell clearance 120.0 mm exceeds the plenum as a circle of its section, "
                "90.3 mm; make runner.wall_clearance at most 90.3 mm or enlarge plenum.area or "
                "state plenum.height"));
    // Along an axis that leans there is more room: 90.27 / sin 45 deg = 127.7 mm.
    intake.banks[0].runners[2].angle = pi / 4;
    CHECK(check_intake(intake).empty());
}

TEST_CASE("clearance: a bell holds its mouth and radius") {
    auto intake = fitting_intake();
    auto& runners = intake.banks[0].runners;
    for (auto& runner : runners) {
        runner.bell_radius = 0.011;
    }
    CHECK(check_intake(intake).empty());
    runners[1].bell_outer_diameter = 0.048;
    CHECK(holds(check_intake(intake),
                Severity::warning,
                "runner.bell_outer_diameter",
                "runner 2: bell outer diameter 48.0 mm cuts the bell radius of 11.0 mm short: with "
                "a mouth of 46.0 mm its arc ends at 68.0 mm"));
    runners[1].bell_radius = 0.001;  // as the message says
    CHECK(check_intake(intake).empty());
    runners[1].bell_radius = 0.030;
    runners[1].bell_outer_diameter = 0.106;
    CHECK_FALSE(holds(
        check_intake(intake), Severity::warning, "runner.bell_outer_diameter", "cuts the bell"));
}

TEST_CASE("clearance: a mouth wider than bell and clearance is blamed itself, once") {
    auto intake = fitting_intake();
    for (auto& runner : intake.banks[0].runners) {
        runner.diameter = Profile::constant(0.095);
    }
    const auto findings = check_intake(intake);
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].key == "runner.diameter");
    CHECK(findings[0].message ==
          "runners 1, 2, 3, 4: mouth diameter 95.0 mm exceeds the bell outer diameter of 68.0 mm "
          "and the bell clearance of 62.0 mm; make the mouth at most 68.0 mm, or enlarge the bell "
          "and its room");
}

TEST_CASE("clearance: both edges of the slot are cut from one land") {
    auto intake = fitting_intake();
    auto& slot = *intake.banks[0].slot;
    slot.edge_radius = 0.006;
    slot.outlet_edge = 0.006;
    CHECK(holds(check_intake(intake),
                Severity::error,
                "slot.outlet_edge",
                "6 mm and the slot edge radius of 6 mm make 12 mm, the land is 8 mm; make "
                "slot.outlet_edge at most 2 mm, slot.edge_radius at most 2 mm, or slot.land at "
                "least 12 mm"));
    slot.outlet_edge = 0.002;
    CHECK(check_intake(intake).empty());
    slot.outlet_edge = 0.006;
    slot.cd = 0.7;  // which replaces them
    CHECK(check_intake(intake).empty());
}

TEST_CASE("clearance: slot pieces stay inside their chamber and apart from each other") {
    auto intake = fitting_intake();
    auto& slot = *intake.banks[0].slot;
    slot.pieces = {{0.006, 0.2, Profile::constant(0.006)}, {0.2, 0.25, Profile::constant(0.060)}};
    const auto findings = check_intake(intake);
    CHECK(holds(
        findings, Severity::error, "slot.x", "slot piece 1 and slot piece 2 overlap by 6.0 mm"));
    CHECK(holds(findings,
                Severity::error,
                "slot.x",
                "slot piece 2 from x 200.0 mm to 450.0 mm lies outside pre_chamber 0-400 mm"));
    CHECK(holds(findings,
                Severity::error,
                "slot.width",
                "slot piece 2 is 60.0 mm wide, the wall of the pre_chamber only 52.0 mm high"));
}

TEST_CASE("clearance: what cannot be built is an error") {
    auto intake = fitting_intake();
    auto& bank = intake.banks[0];
    bank.throttles[0].shaft = 0.07;
    bank.throttles[0].closed_angle = 2;
    bank.slot->edge_radius = 0.009;
    bank.plenum->area = Profile::constant(0);
    bank.runners[0].port_length = 0.3;
    bank.runners[1].diameter = Profile::constant(0);
    bank.runners[2].bell_outer_diameter = 0.040;
    bank.cylinders = {1, 2, 3};
    const auto findings = check_intake(intake);
    CHECK(holds(findings, Severity::error, "throttle.shaft", "does not fit its bore of 68.0 mm"));
    CHECK(holds(findings, Severity::error, "throttle.closed_angle", "outside 0-90 deg"));
    CHECK(holds(findings, Severity::error, "slot.edge_radius", "exceeds the land of 8.0 mm"));
    CHECK(holds(findings, Severity::error, "plenum.area", "above 0 everywhere"));
    CHECK(holds(findings, Severity::error, "runner.port_length", "includes the port"));
    CHECK(holds(findings, Severity::error, "runner.diameter", "runner 2 diameter"));
    CHECK(
        holds(findings, Severity::error, "runner.bell_outer_diameter", "below the mouth diameter"));
    CHECK(holds(findings, Severity::error, "bank.cylinders", "3 cylinders but 4 runners"));
}

TEST_CASE("clearance: a throttle needs the chamber it feeds and a place along it") {
    auto intake = fitting_intake();
    auto& throttle = intake.banks[0].throttles[0];
    throttle.position = FeedPosition::side;
    throttle.x = 0.5;
    CHECK(holds(
        check_intake(intake), Severity::error, "throttle.x", "lies outside pre_chamber 0-400 mm"));
    intake.banks[0].pre_chamber.reset();
    CHECK(holds(check_intake(intake), Severity::error, "throttle.feeds", "which is missing"));
}

TEST_CASE("clearance: coefficients above 1 and table ends below the lift are warned of") {
    auto engine = sound_engine();
    engine.intake.lift = 0.0108;
    engine.exhaust.cd.cd[0] = 1.2;
    const auto findings = check_engine(engine);
    CHECK(holds(
        findings, Severity::warning, "valve.intake.cd", "ends at L/D 0.3, the lift reaches 0.304"));
    CHECK(holds(findings, Severity::warning, "valve.exhaust.cd", "1.2 exceeds 1"));
    auto intake = fitting_intake();
    intake.banks[0].throttles[0].cd = 1.05;
    CHECK(holds(check_intake(intake), Severity::warning, "throttle.cd", "Cd 1.05 exceeds 1"));
}

TEST_CASE("clearance: an engine that cannot turn or breathe is an error") {
    auto engine = sound_engine();
    engine.rod = 0.03;
    engine.compression_ratio = 1;
    engine.firing_order = {1, 3, 3, 2};
    engine.intake.closes = engine.intake.opens;
    engine.exhaust.cd = {};
    engine.exhaust.stem = 0.04;
    const auto findings = check_engine(engine);
    CHECK(holds(findings, Severity::error, "engine.rod", "the crank cannot turn"));
    CHECK(holds(findings, Severity::error, "engine.compression_ratio", "above 1"));
    CHECK(holds(findings, Severity::error, "engine.firing_order", "every cylinder once"));
    CHECK(holds(findings, Severity::error, "valve.intake.closes", "closes before it opens"));
    CHECK(holds(findings, Severity::error, "valve.exhaust.cd", "equal columns"));
    CHECK(holds(findings, Severity::error, "valve.exhaust.stem", "fills the throat"));
}

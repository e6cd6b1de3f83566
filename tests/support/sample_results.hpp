#pragma once

#include "cases/study/bench.hpp"
#include "cases/study/solve_result.hpp"

namespace plenair::test {

/// Two cylinders at one point that converged, with profiles and traces, and one point that did not.
/// The numbers are invented; what tests compute from them is worked out beside each check.
inline SolveResult sample_solve() {
    PointResult good;
    good.name = "A4";
    good.speed = 900.58989402907;  // 8600 rpm
    good.source_pressure = 250000;
    good.source_temperature = 322;
    good.converged = true;
    good.cycles = 9;
    good.periodic_residual = 1e-7;
    good.mass_balance = 1.0 / 3 * 1e-12;
    good.energy_balance = 2e-12;
    good.fresh_air_balance = 3e-12;
    good.flow_balance = 4e-9;
    good.air_flow = 0.35;
    good.volumetric_efficiency = 1.01;
    good.spread = 0.015;
    good.end_bias = -0.015;
    good.bias_band = 0.02;
    good.share_error = 4e-6;
    good.spread_band = 0.03;
    good.air_band = 0.04;
    good.slot_loss_band = 150;
    good.band_parts = {{"law of the mouths", 0.015, 0.03, 0.02, 90},
                       {"regain", 0.012, 0.02, 0.02, 120}};
    good.throttle_loss = 1900;
    good.slot_loss = 5000;
    good.mouth_loss = 700;
    good.port_loss = 900;
    good.slot_mach = 0.31;
    good.slot_to_throttle = 0.72;
    good.choke_margin = 0.4;
    good.inlet_mach_index = 0.45;
    good.cylinders = {{1, 1, 0.00123, 0.00121, 0.50375, 0.0075, 0.05, 95},
                      {2, 2, 0.0012, 0.00119, 0.49625, -0.0075, 0.051, 94}};
    for (auto& c : good.cylinders) c.bank_bias = c.bias;
    good.banks = {{.name = "",
                   .cylinders = {1, 2},
                   .first = {1},
                   .last = {2},
                   .air_flow = 0.35,
                   .share = 1,
                   .bias = 0,
                   .spread = 0.015,
                   .end_bias = -0.015}};
    good.pressures = {
        {"plenum", {0.1, 0.2, 0.3}, {2e5, 2.1e5, 2.2e5}, {1.9e5, 2e5, 2e5}, {2.2e5, 2.3e5, 2.4e5}}};
    good.slots = {{{0.1, 0.2}, {0.9, 0.95}}};
    good.crank_angle = {0, 1, 2, 3};
    good.traces = {{"runner_mouth_velocity", 1, "m/s", {1, 2, 3, 4}},
                   {"runner_mouth_velocity", 2, "m/s", {5, 6, 7, 8}},
                   {"plenum_pressure_start", 0, "Pa", {2e5, 2.1e5, 2e5, 1.9e5}}};
    good.notes = {"first note", "second note"};
    PointResult bad;
    bad.name = "A5";
    bad.speed = 575.95865315813;  // 5500 rpm
    bad.source_pressure = 160000;
    bad.source_temperature = 306;
    bad.failure = "residual 0.02 after 3 cycles, 1e-06 wanted";
    bad.cycles = 3;
    bad.periodic_residual = 0.02;
    bad.spread = 0.777;
    bad.cylinders = {{1, 1, 0.001, 0.001, 0.777, 0.554, 0.05, 90},
                     {2, 2, 0.001, 0.0003, 0.223, -0.554, 0.05, 90}};
    SolveResult result;
    result.title = "Two cylinders, \"made up\"";
    result.case_digest = "sha256:00ff";
    result.case_text = "format = 1\n[case]\ntitle = \"x\"\n";
    result.summary = "Spread 1.5 % at A4.";
    result.points = {good, bad};
    return result;
}

/// The same two cylinders in two banks, and what the point would be without slot.
inline SolveResult sample_banks() {
    SolveResult result = sample_solve();
    auto& point = result.points[0];
    point.no_slot_spread = 0.02;
    point.no_slot_air_flow = 0.36;
    point.banks = {
        {"left", {1}, {}, {}, 0.18, 0.50375, 0.0075, 0.001, 0.002, 4100, 3300, 210, 320, 7930},
        {"right", {2}, {}, {}, 0.17, 0.49625, -0.0075, 0.003, 0.004, 3900, 3100, 190, 310, 7500}};
    // Numbers of their own, so that an output shows which it carries; a bank of one has ends here.
    for (auto& bank : point.banks) bank.first = bank.last = bank.cylinders;
    point.cylinders[0].bank_bias = 0.011;
    point.cylinders[1].bank_bias = -0.012;
    point.cylinders[1].bank = 1;
    return result;
}

/// A slot insert alone, and three runners open together.
inline BenchStudyResult sample_bench() {
    BenchResult slot;
    slot.name = "slot";
    slot.feed = BenchFeed::start;
    slot.converged = true;
    slot.depression = 6972.9;
    slot.density = 1.2041;
    slot.flow = 0.2541;
    slot.cd = 0.875;
    slot.reference_area = 0.002328;
    slot.residual = 1e-10;
    slot.x = {0.05, 0.15, 0.25, 0.35};
    slot.flow_per_length = {0.9, 1.0, 1.0, 1.1};
    slot.pressure_x = {0.1, 0.2};
    slot.static_pressure = {101000, 101100};
    BenchResult all;
    all.name = "all open";
    all.converged = true;
    all.depression = 6972.9;
    all.density = 1.2041;
    all.flow = 0.6;
    all.flow_per_runner = {0.198, 0.2, 0.202};
    BenchResult bad;
    bad.name = "runner 3";
    bad.failure = "residual 0.1 after 200 iterations";
    bad.depression = 6972.9;
    bad.density = 1.2041;
    bad.flow = 0.0777;
    BenchStudyResult result;
    result.title = "Rig";
    result.case_digest = "sha256:11aa";
    result.case_text = "format = 1\n";
    result.set_ups = {slot, all, bad};
    return result;
}

}  // namespace plenair::test

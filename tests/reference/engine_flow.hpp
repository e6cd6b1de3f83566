#pragma once

#include <functional>
#include <utility>
#include <vector>

/// A second solver of an engine's intake, for the tests: pipes by MUSCL-Hancock and HLLC
/// (pipe.hpp), ends by bracketing (duct_ends.hpp), cylinders by the midpoint rule; plain cycles
/// until the engine repeats. The laws are those of docs/theory.md; no code of the product is used.
/// SI units, angles in radians after firing TDC.
namespace plenair::reference {

struct PoppetValve {
    int count = 1;
    double head = 0, seat_width = 0, seat_angle = 0, throat = 0, stem = 0, lift = 0,
           checking_lift = 0, opens = 0, closes = 0;
    std::vector<double> lift_over_diameter, cd;

    [[nodiscard]] double lift_at(double angle) const;
    /// Cd times curtain area, at most the geometric minimum, all valves.
    [[nodiscard]] double effective_area(double angle) const;
};

struct Section {
    double length = 0;
    std::function<double(double)> area;  ///< [m2] along x
};

struct RunnerSpec {
    double x = 0, length = 0, entry_loss = 0, bend_loss = 0;
    std::function<double(double)> bore;  ///< [m] along the runner
    int cylinder = 0;
};

struct ThrottleSpec {
    enum class Place { start, end, side } place = Place::start;
    double x = 0, bore = 0, effective = 0;
};

struct SlotSpec {
    double x = 0, length = 0, land = 0, cd = 0.8;
    std::function<double(double)> width;  ///< along the chamber
};

struct EngineSpec {
    std::vector<double> firing_tdc;  ///< crank angle of each cylinder's firing TDC
    double bore = 0, stroke = 0, rod = 0, compression_ratio = 10, exhaust_port = 0.065;
    PoppetValve intake, exhaust;
    bool has_chamber = false;
    Section chamber, plenum;
    SlotSpec slot;
    std::vector<ThrottleSpec> throttles;  ///< into the chamber, or the plenum where there is none
    std::vector<RunnerSpec> runners;
    // Model.
    double regain = 1.05, crossflow_loss = 0.9, darcy = 0;
    // Operating point.
    double speed = 0, pressure = 0, temperature = 0, humidity = 0, exhaust_pressure = 0,
           exhaust_temperature = 0;
    bool motored = false, wall_heat = true;
    double lambda = 1, stoich = 14.6, heating_value = 42.5e6, hydrogen_carbon = 1.87,
           oxygen_carbon = 0, burn_start = 0, burn_duration = 1, wiebe_a = 5, wiebe_m = 2,
           wall_temperature = 450;
};

struct ReferenceOptions {
    double runner_cell = 0.006, chamber_cell = 0.006;  ///< [m]
    double courant = 0.8;
    double repeat = 1e-5;  ///< largest change of a cylinder's air over a cycle that counts as none
    int most_cycles = 80;
};

struct ReferenceResult {
    std::vector<double> delivered, trapped;  ///< dry fresh air of each cylinder and cycle [kg]
    std::vector<double> residual;
    double mass_error = 0;  ///< what the cycle created over what passed
    int cycles = 0;
    bool repeats = false;

    [[nodiscard]] double air() const;  ///< delivered, all cylinders
    [[nodiscard]] std::vector<double> bias() const;
};

[[nodiscard]] ReferenceResult solve_reference(const EngineSpec& spec,
                                              const ReferenceOptions& options);

}  // namespace plenair::reference

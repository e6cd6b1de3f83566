#pragma once

#include "geometry/profile.hpp"
#include "solver/march/rig_march.hpp"
#include "solver/network/model.hpp"

#include <optional>
#include <string>
#include <vector>

namespace plenair {

/// A rig over time.
struct TransientSettings {
    BenchSettings air;
    double duration = 0;  ///< [s]
    int samples = 200;  ///< equal parts of it
    /// Over time [s]; empty: as `air` has it.
    geometry::Profile source_pressure, room_pressure, throttle_angle;
    double sine_amplitude = 0,
           sine_frequency = 0;  ///< added to the pressure of one side [Pa], [Hz]
    bool sine_in_room = false;
    bool steady_start = false;
    std::optional<double> start_pressure, start_temperature;  ///< of all parts; none: the source's
    std::optional<double> plenum_pressure, plenum_temperature;  ///< of plenum and runners
};

struct TransientResult {
    bool finished = false;
    std::string failure;
    std::vector<double> time;  ///< [s]
    std::vector<Series> series;
    long steps = 0;
    double mass_balance = 0, energy_balance = 0;  ///< as RigMarch has them
};

/// Never throws for a rig that cannot be marched to its end, or is stopped: `finished` is then
/// false, and what was reached is kept.
[[nodiscard]] TransientResult solve_transient(const geometry::Intake& intake,
                                              const TransientSettings& settings,
                                              const Model& model,
                                              const Watcher& watcher = {});

}  // namespace plenair

#pragma once

#include "cases/file/start_draft.hpp"

#include <string>
#include <vector>

/// What is assumed where nothing was stated. Every rule says on what it rests; none is needed by
/// any other part of the program.
namespace plenair::file::rules {

/// What the rules start from, in SI.
struct Frame {
    int cylinders = 0;  ///< of the engine
    int per_bank = 0;
    double bore = 0, stroke = 0, pitch = 0;  ///< [m]
    double top_speed = 0;  ///< [rad/s]
    double pressure = 0, temperature = 0;  ///< before the throttle [Pa], [K]
    bool boosted = false;

    [[nodiscard]] double piston_speed() const;  ///< mean, at top speed [m/s]
    [[nodiscard]] double swept_volume() const;  ///< of one cylinder [m3]
    /// Volume flow into one plenum at top speed and a volumetric efficiency of 1 [m3/s].
    [[nodiscard]] double volume_flow() const;
    [[nodiscard]] double density() const;  ///< before the throttle [kg/m3]
};

/// Firing order of so many cylinders in one or two banks; `usual` is false where the trade has
/// none.
[[nodiscard]] std::vector<int> firing_order(int cylinders, int banks, bool& usual);

/// Largest speed [rad/s] of a stroke [m]: mean piston speed 20 m/s.
[[nodiscard]] double top_speed(double stroke);

/// Valve event in crank degrees, straight between a mild engine (12 m/s of mean piston speed) and a
/// racing one (24 m/s).
[[nodiscard]] int event_degrees(const Frame& frame, double mild, double racing);

/// Mean velocity through the open throttle at top speed [m/s]; a few cylinders draw in pulses.
[[nodiscard]] double throttle_velocity(int cylinders);

/// Air column from mouth to valve [m]: quarter wave, fourth oscillation in an intake period.
[[nodiscard]] double air_column(const Frame& frame);

/// Width of a slot of so much length that takes so large a part of the pressure at top speed [m].
[[nodiscard]] double slot_width(const Frame& frame, double length, double part, double cd);

}  // namespace plenair::file::rules

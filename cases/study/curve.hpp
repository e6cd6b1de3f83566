#pragma once

#include "geometry/profile.hpp"
#include "solver/network/point.hpp"

#include <cstddef>
#include <string>

namespace plenair {

/// Operating points over a range of speeds: a [[curve]] of the case file. Its points stand among
/// those of the case.
struct SpeedCurve {
    std::string name;
    std::size_t first = 0, count = 0;  ///< its points: first .. first + count - 1
    OperatingPoint base;  ///< all that does not change with speed
    // Over speed [rad/s], straight between stations, in SI; empty: as in `base`.
    geometry::Profile pressure, temperature, exhaust_pressure, exhaust_temperature, lambda;
    geometry::Profile throttle_angle;

    /// The point at a speed [rad/s], named by curve_point_name.
    [[nodiscard]] OperatingPoint at(double speed) const;
};

/// Name of the point of a curve at a speed [rad/s]: "full@5500".
[[nodiscard]] std::string curve_point_name(const std::string& curve, double speed);

}  // namespace plenair

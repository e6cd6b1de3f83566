#pragma once

#include <array>

#include "solver/arithmetic/real.hpp"
#include "solver/arithmetic/table.hpp"

/// Loss of round bends on the velocity head of the pipe.
namespace plenair::reference {

inline constexpr std::array<double, 8> bend_radius = {0.5, 0.6, 0.8, 1.0, 2.0, 3.0, 4.0, 6.0};
inline constexpr std::array<double, 8> bend_loss_90 = {
    1.00, 0.755, 0.333, 0.247, 0.159, 0.155, 0.166, 0.197};

/// K of a 90 degree bend at Re 1e6 (Miller 1978) by axis radius over bore; the ends of the table
/// (0.5 and 6) are held outside.
inline double bend_loss(double radius) {
    return arithmetic::linear_table(bend_radius, bend_loss_90, radius);
}

/// Share of the 90 degree loss at another angle [rad] (Idelchik 1986, Diagram 6-1): 0.9 sin up to
/// 70 degrees, 0.7 + 0.35 angle/90 degrees from 100 on, a straight line between.
inline double bend_angle_factor(double angle) {
    constexpr double degree = 3.14159265358979323846 / 180.0;
    const double low = 0.9 * arithmetic::sin(arithmetic::min(angle, 70.0 * degree));
    const double high = 0.7 + 0.35 * arithmetic::max(angle, 100.0 * degree) / (90.0 * degree);
    const double weight = arithmetic::clamp((angle - 70.0 * degree) / (30.0 * degree), 0.0, 1.0);
    return low + weight * (high - low);
}

/// Growth of the loss at a lower Reynolds number (Miller 1978): 2.18 at 1e4, 1.35 at 1e5 (1.22
/// to 1.47 by radius), 1 from 1e6 on; straight in ln Re, held below 1e4.
inline double bend_reynolds_factor(double re) {
    constexpr std::array<double, 3> decade = {4.0, 5.0, 6.0};
    constexpr std::array<double, 3> factor = {2.18, 1.35, 1.0};
    const double lg = 0.43429448190325182765 * arithmetic::log(arithmetic::max(re, 1.0));
    return arithmetic::linear_table(decade, factor, lg);
}

}  // namespace plenair::reference

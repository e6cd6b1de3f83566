#pragma once

#include <algorithm>

/// How fast waves will be, before a cycle was marched: for the first steps, and for what a point
/// will cost. A cycle that turns out faster gets other steps.
namespace plenair {

/// Waves of a chamber, with the air that moves in it, over the speed of sound; an estimate.
inline constexpr double stirred_sound = 1.10;

/// Fastest wave of a runner [m/s]: the speed of sound and the air that a cylinder of
/// `displacement` [m3] draws through `area` [m2] in a `stroke` [s]. Its
/// peak over the mean of the stroke and its largest Mach number are estimates too.
[[nodiscard]] inline double runner_wave(double sound,
                                        double displacement,
                                        double stroke,
                                        double area) {
    constexpr double peak = 1.8;
    constexpr double most = 0.6;
    const double speed = peak * displacement / (stroke * area);
    return sound + std::min(speed, most * sound);
}

}  // namespace plenair

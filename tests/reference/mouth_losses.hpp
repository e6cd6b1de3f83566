#pragma once

#include <array>

#include "solver/arithmetic/real.hpp"
#include "solver/arithmetic/table.hpp"

/// Other authors' loss of the entrance from a large chamber into a pipe, as solver/laws/mouth.hpp.
namespace plenair::reference {

/// Swamee and Sharma 2008: 0.5/(1 + 36 (r/D)^1.2).
inline double mouth_loss_swamee(double radius) {
    return 0.5 / (1.0 + 36.0 * arithmetic::pow(radius, 1.2));
}

/// Rennels and Hudson 2012, ch. 9.
inline double mouth_loss_rennels(double radius) {
    const double root = 1.0 - 0.30 * arithmetic::sqrt(radius) - 0.70 * radius;
    const double jet = 1.0 + 0.622 * root * root * root * root;
    return 0.0696 * (1.0 - 0.569 * radius) * jet * jet + (jet - 1.0) * (jet - 1.0);
}

/// Harris 1928, measured in air and water.
inline double mouth_loss_harris(double radius) {
    constexpr std::array<double, 10> at = {
        0.0, 0.01, 0.02, 0.03, 0.04, 0.05, 0.06, 0.08, 0.12, 0.16};
    constexpr std::array<double, 10> k = {
        0.44, 0.35, 0.28, 0.22, 0.17, 0.13, 0.10, 0.07, 0.03, 0.00};
    return arithmetic::linear_table(at, k, radius);
}

/// Crane, Technical Paper 410.
inline double mouth_loss_crane(double radius) {
    constexpr std::array<double, 6> at = {0.0, 0.02, 0.04, 0.06, 0.10, 0.15};
    constexpr std::array<double, 6> k = {0.50, 0.28, 0.24, 0.15, 0.09, 0.04};
    return arithmetic::linear_table(at, k, radius);
}

inline constexpr std::array<double, 9> mouth_radius_miller = {
    0.0, 0.01, 0.02, 0.04, 0.06, 0.08, 0.10, 0.15, 0.20};

/// Chart of Miller 1990, rounded edge.
inline double mouth_loss_miller(double radius) {
    constexpr std::array<double, 10> at = {
        0.0, 0.01, 0.02, 0.04, 0.06, 0.08, 0.10, 0.12, 0.15, 0.20};
    constexpr std::array<double, 10> k = {
        0.509, 0.423, 0.357, 0.253, 0.170, 0.112, 0.083, 0.068, 0.061, 0.060};
    return arithmetic::linear_table(at, k, radius);
}

enum class Bevel { degrees_30, degrees_45 };

/// Chart of Miller 1990, bevelled edge; `length` of the bevel over the bore.
inline double mouth_loss_bevel(double length, Bevel bevel) {
    constexpr std::array<double, 9> k30 = {
        0.510, 0.442, 0.385, 0.290, 0.228, 0.194, 0.171, 0.135, 0.121};
    constexpr std::array<double, 9> k45 = {
        0.517, 0.457, 0.406, 0.333, 0.284, 0.250, 0.233, 0.215, 0.205};
    return arithmetic::linear_table(
        mouth_radius_miller, bevel == Bevel::degrees_30 ? k30 : k45, length);
}

/// Conical entry of 60 degrees full angle (Idelchik 1986, Diagram 3-7); `length` over the bore.
inline double mouth_loss_cone(double length) {
    constexpr std::array<double, 7> at = {0.0, 0.025, 0.05, 0.075, 0.10, 0.15, 0.60};
    constexpr std::array<double, 7> k = {0.50, 0.40, 0.30, 0.23, 0.18, 0.15, 0.12};
    return arithmetic::linear_table(at, k, length);
}

/// Sharp flush entrance at `angle` [rad] between pipe axis and wall (Rennels and Hudson 2012).
inline double mouth_loss_inclined(double angle) {
    const double c = arithmetic::cos(angle);
    return 0.57 + 0.30 * c + 0.20 * c * c;
}

/// Discharge coefficient of a mouth: 1/sqrt(1 + K).
inline double mouth_discharge(double loss) {
    return 1.0 / arithmetic::sqrt(1.0 + loss);
}

/// Total-pressure drop into a runner [Pa] with a stream passing along the wall (Hudson, Uhler,
/// Bailey 1979): rho/2 (K0 w^2 + phi V^2); w in the runner, V along the chamber just upstream
/// [m/s].
template <class R>
[[nodiscard]] R mouth_total_drop(R density, R entry_loss, R crossflow_loss, R w, R v) {
    return R(0.5) * density * (entry_loss * w * w + crossflow_loss * v * v);
}

}  // namespace plenair::reference

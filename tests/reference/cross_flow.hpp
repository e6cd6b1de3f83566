#pragma once

#include <array>

#include "solver/arithmetic/real.hpp"
#include "solver/arithmetic/table.hpp"

/// Opening in the wall of a stream: coefficients on the difference of TOTAL head E = dp/rho + V^2/2
/// between stream and outside; x = (V^2/2)/E, the share of the head that the stream's velocity
/// holds.
namespace plenair::reference {

/// Sharp port, Koh and Brooks 1975: 0.63 - 0.58 x.
template <class R>
[[nodiscard]] R koh_brooks_sharp(R x) {
    return R(0.63) - R(0.58) * x;
}

/// Bell-mouthed port, Koh and Brooks 1975: 0.975 (1 - x)^(3/8).
template <class R>
[[nodiscard]] R koh_brooks_bell(R x) {
    using arithmetic::sqrt;
    const R quarter = sqrt(sqrt(R(1.0) - x));
    return R(0.975) * quarter * sqrt(quarter);
}

/// Flush hole, Kaddah 1964 (after Lefebvre): `share` hole flow over stream flow. For a small share
/// exactly 0.625 sqrt(1 - x), a constant coefficient on the LOCAL STATIC pressure difference.
inline double kaddah(double x, double share) {
    const double k = 1.0 / x;
    const double rest = 2.0 - share;
    return 1.25 * (k - 1.0) / arithmetic::sqrt(4.0 * k * k - k * rest * rest);
}

/// The limit of Kaddah's form for small outflow.
template <class R>
[[nodiscard]] R static_driven(R x) {
    using arithmetic::sqrt;
    return R(0.625) * sqrt(R(1.0) - x);
}

/// Factor on a coefficient that is driven by the local static difference: 1 up to x = 0.3; beyond x
/// = 0.5 Koh and Brooks over 0.63 sqrt(1 - x); between the two a straight fade.
template <class R>
[[nodiscard]] R cross_flow_factor(R x) {
    using arithmetic::max;
    using arithmetic::min;
    using arithmetic::sqrt;
    const R inside = min(max(x, R(0.0)), R(0.99));
    const R full = koh_brooks_sharp(inside) / (R(0.63) * sqrt(R(1.0) - inside));
    const R weight = min(max((inside - R(0.3)) * R(5.0), R(0.0)), R(1.0));
    return R(1.0) + weight * (full - R(1.0));
}

/// Slots without lip, Kutz and Speer 1994, over K = (pt1 - p2)/(pt1 - ps1) = 1/x.
inline double kutz_speer(double k) {
    constexpr std::array<double, 7> at = {1.0, 1.14, 1.42, 1.9, 2.5, 3.0, 3.4};
    constexpr std::array<double, 7> cd = {0.0, 0.122, 0.377, 0.700, 0.766, 0.769, 0.772};
    return arithmetic::linear_table(at, cd, k);
}

/// The same with a lip.
inline double kutz_speer_lip(double k) {
    constexpr std::array<double, 9> at = {0.24, 0.52, 0.8, 1.14, 1.42, 1.9, 2.5, 3.0, 3.4};
    constexpr std::array<double, 9> cd = {
        0.167, 0.310, 0.467, 0.611, 0.711, 0.789, 0.833, 0.866, 0.888};
    return arithmetic::linear_table(at, cd, k);
}

}  // namespace plenair::reference

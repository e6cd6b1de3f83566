#pragma once

#include "solver/arithmetic/real.hpp"

/// What one variant and lanes say alike of air that leaves a stream through its wall.
namespace plenair {

/// Axial velocities on both sides of an outflow, and what follows from them.
template <class R>
struct Approach {
    R left, right;  ///< [m/s]
    R square;  ///< of the streams that approach the opening: a^2 - a b + b^2 of their speeds
    R p0_correction;  ///< mean total pressure over the opening against that just upstream [Pa]
};

/// @param u      mean axial velocity beside the opening [m/s]
/// @param out    outflow over header area [m/s]
/// @param theta  regain factor (theory T8)
/// theory T24
template <class R>
[[nodiscard]] Approach<R> approach(R u, R out, R rho, R theta) {
    using arithmetic::max;
    Approach<R> v;
    v.left = u + 0.5 * out;
    v.right = u - 0.5 * out;
    const R a = max(v.left, R(0.0));
    const R b = max(-v.right, R(0.0));
    v.square = a * a - a * b + b * b;
    const R mean_square = (v.left * v.left + v.left * v.right + v.right * v.right) * (1.0 / 3.0);
    v.p0_correction = 0.5 * (theta - 1.0) * rho * (v.square - mean_square);
    return v;
}

/// Static pressure that drives air out of a stream through a hole in its wall [Pa]. @param p0 mean
/// total pressure beside it
template <class R>
[[nodiscard]] R pressure_beside(const Approach<R>& v, R p0, R rho) {
    return p0 - v.p0_correction - 0.5 * rho * v.square;
}

/// Rate at which the flow of a passage returns to its steady value [1/s], 2 m/((Cd A)^2 rho P(x)
/// L/A) with m the larger of the flow and its steady value: from rest the flow will be as fast as
/// that before the next look.
/// @param x   pressure drop over the upstream pressure p_up [Pa]
/// @param k2  flow squared over pressure drop [kg m]
template <class R>
[[nodiscard]] R passage_return(R flow, R x, R p_up, R k2, R inverse_inertance) {
    using arithmetic::abs;
    using arithmetic::max;
    using arithmetic::sqrt;
    const R fastest = max(abs(flow), sqrt(x * p_up * k2));
    return 2.0 * fastest * inverse_inertance / k2;
}

}  // namespace plenair

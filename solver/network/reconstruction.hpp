#pragma once

#include "solver/arithmetic/real.hpp"

/// Face values from cell means. Unlimited fifth-order upwind inside a chain, third order with a
/// continuous limiter at its ends: every switch between stencils would make the engine cycle
/// jitter.
/// theory T58
namespace plenair::reconstruction {

/// Fifth-order value at the right face of cell c from the means a b c d e.
/// @source Shu C.-W. 1998, NASA/CR-97-206253, eq. (2.11), r = 2, k = 5 (linear weights).
template <class R>
[[nodiscard]] inline R upwind5(R a, R b, R c, R d, R e) {
    return (2.0 / 60.0) * a - (13.0 / 60.0) * b + (47.0 / 60.0) * c + (27.0 / 60.0) * d -
           (3.0 / 60.0) * e;
}

/// The same held to what keeps every step between its neighbours: no part of the slope beyond the
/// smaller of the differences on both sides. For what is carried with the flow and must stay
/// between its bounds; a kink where it acts, no jump.
/// @source Sweby P. K. 1984, SIAM J. Numer. Anal. 21, 995-1011 (bounds of the limiter, from
/// memory).
template <class R>
[[nodiscard]] inline R bounded5(R a, R b, R c, R d, R e) {
    using arithmetic::max;
    using arithmetic::min;
    const R before = c - b;
    const R behind = d - c;
    const R most = max(min(before, behind), R(0.0));
    const R least = min(max(before, behind), R(0.0));
    return c + max(min(upwind5(a, b, c, d, e) - c, most), least);
}

/// Keeps a positive quantity near its cell mean.
template <class R>
[[nodiscard]] inline R positive(R face, R mean, double low, double high) {
    using arithmetic::max;
    using arithmetic::min;
    return min(max(face, low * mean), high * mean);
}

/// A face value of density or pressure inside a chain, held near its cell mean: far enough from it
/// that no smooth wave of an intake is touched, and never negative.
template <class R>
[[nodiscard]] inline R near_mean(R face, R mean) {
    constexpr double low = 0.55;
    constexpr double high = 1.45;
    return positive(face, mean, low, high);
}

/// Change of pressure from cell to cell, over the sum of both, that a jump begins with: what a
/// smooth flow has, 4 % of the pressure, keeps its high order (docs/decisions/strong-jumps.md).
inline constexpr double smooth_change = 0.02;

/// Steepest slope of a positive quantity at an end, a cell, over the mean of its end cell; where it
/// may lead within half a cell; and the bounds of what stands beyond the end.
inline constexpr double steepest_end = 0.8;
inline constexpr double least_end_face = 0.6, most_end_face = 1.4;
inline constexpr double least_ghost = 0.3, most_ghost = 1.7;

/// Boundary face value and the two ghost means beyond it.
template <class R>
struct EndValues {
    R face, ghost1, ghost2;
};

/// Third-order end extrapolation from the first three means of a chain. Positive quantities: slopes
/// limited continuously so that no new extremum beyond twice the next slope appears (quadratic
/// through the means where smooth). Velocities: the parabola as it is; a limiter would switch on
/// the small differences of a nearly constant flow, and a steady flow had several states.
template <class R>
[[nodiscard]] inline EndValues<R> end_values(R w0, R w1, R w2, bool is_positive) {
    using arithmetic::abs;
    using arithmetic::max;
    using arithmetic::min;
    using arithmetic::select;
    const R d1 = w1 - w0;
    const R d2 = w2 - w1;
    if (!is_positive) {
        const R curve = (d1 - d2) * (1.0 / 3.0);
        return {w0 - 0.5 * d1 - curve, w0 - d1 - 3.0 * curve, w0 - 2.0 * d1 - 9.0 * curve};
    }
    R bound = 2.0 * abs(d2);
    if (is_positive) {
        bound = min(bound, steepest_end * w0);
    }
    const R s = max(min(d1, bound), -bound);
    const R limit = min(abs(d1), abs(d2));
    const R c = max(min((d1 - d2) * (1.0 / 3.0), limit), -limit);
    EndValues<R> out{w0 - 0.5 * s - c, w0 - s - 3.0 * c, w0 - 2.0 * s - 9.0 * c};
    if (is_positive) {
        out.face = positive(out.face, w0, least_end_face, most_end_face);
        out.ghost1 = positive(out.ghost1, w0, least_ghost, most_ghost);
        out.ghost2 = positive(out.ghost2, w0, least_ghost, most_ghost);
    }
    return out;
}

/// Mirror image at a solid wall: even quantities (density, pressure) keep their value, the velocity
/// changes sign. Extrapolation would take entropy waves that leave the wall from downstream and let
/// them grow.
template <class R>
[[nodiscard]] inline EndValues<R> mirror_values(R w0, R w1, R w2, bool is_even) {
    if (is_even) {
        return {(37.0 * w0 - 8.0 * w1 + w2) * (1.0 / 30.0), w0, w1};
    }
    return {(20.0 * w0 - 10.0 * w1 + 2.0 * w2) * (1.0 / 60.0), -w0, -w1};
}

/// Between an open end (0) and a wall (1), for a valve that closes: a smooth function of crank
/// angle, not a switch.
template <class R>
[[nodiscard]] inline EndValues<R> blend(const EndValues<R>& open,
                                        const EndValues<R>& wall,
                                        R closed) {
    return {open.face + closed * (wall.face - open.face),
            open.ghost1 + closed * (wall.ghost1 - open.ghost1),
            open.ghost2 + closed * (wall.ghost2 - open.ghost2)};
}

}  // namespace plenair::reconstruction

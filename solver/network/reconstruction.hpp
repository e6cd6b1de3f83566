#pragma once

#include "solver/arithmetic/real.hpp"

#include <array>

/// Face values from cell means. Unlimited fifth-order upwind inside a chain, third order with a
/// continuous limiter at its ends: every switch between stencils would make the engine cycle
/// jitter.
namespace plenair::reconstruction {

/// Fifth-order value at the right face of cell c from the means a b c d e.
/// @source Shu C.-W. 1998, NASA/CR-97-206253, eq. (2.11), r = 2, k = 5 (linear weights).
template <class R>
[[nodiscard]] inline R upwind5(R a, R b, R c, R d, R e) {
    return (2.0 / 60.0) * a - (13.0 / 60.0) * b + (47.0 / 60.0) * c + (27.0 / 60.0) * d -
           (3.0 / 60.0) * e;
}

/// Keeps a positive quantity near its cell mean.
template <class R>
[[nodiscard]] inline R positive(R face, R mean, double low, double high) {
    using arithmetic::max;
    using arithmetic::min;
    return min(max(face, low * mean), high * mean);
}

/// Boundary face value and the two ghost means beyond it.
template <class R>
struct EndValues {
    R face, ghost1, ghost2;
};

/// Velocity at an end: the parabola through the first three means of a chain, as it is. A limiter
/// would switch on the small differences of a nearly constant flow, and a steady flow had several
/// states.
template <class R>
[[nodiscard]] inline EndValues<R> end_velocity(R w0, R w1, R w2) {
    const R d1 = w1 - w0;
    const R curve = (d1 - (w2 - w1)) * (1.0 / 3.0);
    return {w0 - 0.5 * d1 - curve, w0 - d1 - 3.0 * curve, w0 - 2.0 * d1 - 9.0 * curve};
}

/// The same parabola where it is smooth, its slope limited continuously to twice the next one and
/// to `most`, so that no new extremum appears.
template <class R>
[[nodiscard]] inline EndValues<R> limited_end(R w0, R w1, R w2, R most) {
    using arithmetic::abs;
    using arithmetic::max;
    using arithmetic::min;
    const R d1 = w1 - w0;
    const R d2 = w2 - w1;
    const R bound = min(2.0 * abs(d2), most);
    const R s = max(min(d1, bound), -bound);
    const R limit = min(abs(d1), abs(d2));
    const R c = max(min((d1 - d2) * (1.0 / 3.0), limit), -limit);
    return {w0 - 0.5 * s - c, w0 - s - 3.0 * c, w0 - 2.0 * s - 9.0 * c};
}

template <class R>
[[nodiscard]] inline EndValues<R> positive_end(const EndValues<R>& v, R mean) {
    return {positive(v.face, mean, 0.6, 1.4),
            positive(v.ghost1, mean, 0.3, 1.7),
            positive(v.ghost2, mean, 0.3, 1.7)};
}

/// Pressure at an end.
template <class R>
[[nodiscard]] inline EndValues<R> end_pressure(R p0, R p1, R p2) {
    return positive_end(limited_end(p0, p1, p2, R(0.8 * p0)), p0);
}

/// Density at an end from the means of density and pressure and the pressure there: the part that
/// follows the pressure, d rho = d p / a^2, follows it there too; what is left is entropy, limited
/// by itself. Two limiters on one wave would switch at different times: the entropy at the end
/// jumps, and a steady flow may find no state.
template <class R>
[[nodiscard]] inline EndValues<R> end_density(const std::array<R, 3>& rho,
                                              const std::array<R, 3>& p,
                                              const EndValues<R>& end_p,
                                              double gamma) {
    const R k = rho[0] / (gamma * p[0]);
    const R e0 = rho[0] - k * p[0];
    const R e1 = rho[1] - k * p[1];
    const R e2 = rho[2] - k * p[2];
    const EndValues<R> e = limited_end(e0, e1, e2, R(0.8 * rho[0]));
    return positive_end(
        EndValues<R>{
            e.face + k * end_p.face, e.ghost1 + k * end_p.ghost1, e.ghost2 + k * end_p.ghost2},
        rho[0]);
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

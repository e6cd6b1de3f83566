#pragma once

#include "solver/arithmetic/real.hpp"

namespace plenair {

/// Gas state on one side of a face.
template <class R>
struct FaceState {
    R rho, u, p, y;
};

/// Flux per area through a face: mass, momentum carried (without pressure), pressure, total energy,
/// fresh charge.
template <class R>
struct FaceFlux {
    R mass, carried, pressure, energy, fresh;
};

/// Least speed of entropy waves in units of the speed of sound, for dissipation only.
inline constexpr double entropy_floor = 0.02;

/// Low-dissipation flux between a left and a right state, positive in +x.
/// Pressure flux with a floor of a tenth of the speed of sound on its velocity dissipation, which
/// keeps low-Mach checkerboards away without spoiling slow flow.
/// @source Kitamura K., Shima E. 2013, J. Comput. Phys. 245, 62-83, eq. (2.3) (second pressure
/// flux).
template <class R>
[[nodiscard]] inline FaceFlux<R> face_flux(const FaceState<R>& l,
                                           const FaceState<R>& r,
                                           double gamma) {
    using arithmetic::abs;
    using arithmetic::max;
    using arithmetic::min;
    using arithmetic::reciprocal_sqrt;
    using arithmetic::sqrt;
    const R pl = l.p;
    const R pr = r.p;
    // One division serves both temperatures and the mean speed.
    const R product = l.rho * r.rho;
    const R sum = l.rho + r.rho;
    const R inverse = 1.0 / (product * sum);
    const R rtl = pl * r.rho * sum * inverse;
    const R rtr = pr * l.rho * sum * inverse;
    const R square = (0.5 * gamma) * (rtl + rtr);
    const R inverse_c = reciprocal_sqrt(square);
    const R c = square * inverse_c;
    const R ml = l.u * inverse_c;
    const R mr = r.u * inverse_c;
    const R speed = sqrt(0.5 * (l.u * l.u + r.u * r.u));
    const R mach = min(R(1.0), speed * inverse_c);
    const R chi = (1.0 - mach) * (1.0 - mach);
    const R g = -(max(min(ml, R(0.0)), R(-1.0)) * min(max(mr, R(0.0)), R(1.0)));
    const R mean_speed = (l.rho * abs(l.u) + r.rho * abs(r.u)) * product * inverse;
    const R vl = (1.0 - g) * mean_speed + g * abs(l.u);
    const R vr = (1.0 - g) * mean_speed + g * abs(r.u);
    FaceFlux<R> f;
    f.mass = 0.5 * (l.rho * (l.u + vl) + r.rho * (r.u - vr) - chi * inverse_c * (pr - pl));
    const R cl = max(min(ml, R(1.0)), R(-1.0));
    const R cr = max(min(mr, R(1.0)), R(-1.0));
    const R plus = 0.25 * (cl + 1.0) * (cl + 1.0) * (2.0 - cl);
    const R minus = 0.25 * (cr - 1.0) * (cr - 1.0) * (2.0 + cr);
    f.pressure = 0.5 * (pl + pr) + 0.5 * (plus - minus) * (pl - pr) +
                 max(speed, 0.1 * c) * (plus + minus - 1.0) * (0.5 * sum) * c;
    const double k = gamma / (gamma - 1.0);
    const R hl = k * rtl + 0.5 * l.u * l.u;
    const R hr = k * rtr + 0.5 * r.u * r.u;
    const R half = 0.5 * f.mass;
    const R away = 0.5 * abs(f.mass);
    f.carried = half * (l.u + r.u) + away * (l.u - r.u);
    f.energy = half * (hl + hr) + away * (hl - hr);
    f.fresh = half * (l.y + r.y) + away * (l.y - r.y);
    // Entropy waves get a least speed too: in nearly still ends of a chamber grid-scale entropy
    // noise would otherwise live for ever, and no cycle would repeat.
    const R u = 0.5 * (l.u + r.u);
    const R still = 0.5 * max(entropy_floor * c - abs(u), R(0.0));
    const R wave = still * (l.rho - r.rho - (pl - pr) * inverse_c * inverse_c);
    f.mass = f.mass + wave;
    f.carried = f.carried + wave * u;
    f.energy = f.energy + 0.5 * wave * u * u;
    f.fresh = f.fresh + still * (l.rho * l.y - r.rho * r.y);
    return f;
}

}  // namespace plenair

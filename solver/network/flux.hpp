#pragma once

#include "solver/arithmetic/real.hpp"
#include "solver/gas/perfect_gas.hpp"

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
/// theory T59
template <class R, class C>
[[nodiscard]] inline FaceFlux<R> face_flux(const FaceState<R>& l,
                                           const FaceState<R>& r,
                                           const gas::PerfectGas<C>& gas) {
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
    const R inverse_product = sum * inverse;
    const R rtl = pl * r.rho * inverse_product;
    const R rtr = pr * l.rho * inverse_product;
    const R square = (0.5 * gas.gamma) * (rtl + rtr);
    const R inverse_c = reciprocal_sqrt(square);
    const R c = square * inverse_c;
    const R ml = l.u * inverse_c;
    const R mr = r.u * inverse_c;
    const R head_l = 0.5 * l.u * l.u;
    const R head_r = 0.5 * r.u * r.u;
    const R speed = sqrt(head_l + head_r);
    const R fall = max(1.0 - speed * inverse_c, R(0.0));
    const R chi = fall * fall;
    const R cl = max(min(ml, R(1.0)), R(-1.0));
    const R cr = max(min(mr, R(1.0)), R(-1.0));
    const R apart = min(cl, R(0.0)) * max(cr, R(0.0));  // -g
    const R speed_l = abs(l.u);
    const R speed_r = abs(r.u);
    const R mean_speed = (l.rho * speed_l + r.rho * speed_r) * (product * inverse);
    const R shared = mean_speed + apart * mean_speed;
    const R vl = shared - apart * speed_l;
    const R vr = shared - apart * speed_r;
    const R dp = pl - pr;
    FaceFlux<R> f;
    f.mass = 0.5 * (l.rho * (l.u + vl) + r.rho * (r.u - vr) + chi * inverse_c * dp);
    // The splitting polynomials are a half and odd ones: (c + 1)^2 (2 - c)/4 = 1/2 + c (3 - c^2)/4.
    const R plus = cl * (0.75 - 0.25 * cl * cl);
    const R minus = cr * (0.75 - 0.25 * cr * cr);
    f.pressure =
        0.5 * (pl + pr + (plus + minus) * dp + max(speed, 0.1 * c) * c * ((plus - minus) * sum));
    const C k = gas.h_per_rt;
    const R hl = k * rtl + head_l;
    const R hr = k * rtr + head_r;
    const R half = 0.5 * f.mass;
    const R away = abs(half);
    f.carried = half * (l.u + r.u) + away * (l.u - r.u);
    f.energy = half * (hl + hr) + away * (hl - hr);
    f.fresh = half * (l.y + r.y) + away * (l.y - r.y);
    // Entropy waves get a least speed too: in nearly still ends of a chamber grid-scale entropy
    // noise would otherwise live for ever, and no cycle would repeat.
    const R u = 0.5 * (l.u + r.u);
    const R lacking = 0.5 * max(entropy_floor * c - abs(u), R(0.0));
    const R wave = lacking * (l.rho - r.rho - dp * inverse_c * inverse_c);
    const R carried = wave * u;
    f.mass = f.mass + wave;
    f.carried = f.carried + carried;
    f.energy = f.energy + 0.5 * carried * u;
    f.fresh = f.fresh + lacking * (l.rho * l.y - r.rho * r.y);
    return f;
}

}  // namespace plenair

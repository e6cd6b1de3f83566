#pragma once

#include "solver/arithmetic/real.hpp"
#include "solver/gas/perfect_gas.hpp"

/// Flow through the end of a duct where an outside law meets the wave that leaves the duct.
/// In all of them v is the velocity INTO the duct at its end. With f the state extrapolated to the
/// face, the wave that arrives there is a simple one,
///     p_b = p_f (1 + d (v_b - v_f)/a_f)^(2 gamma/(gamma - 1)),   d = (gamma - 1)/2,
/// and law and wave are solved together: a law put on the cell pressure alone makes the total air
/// depend on the time step. In steady flow b is f, and what is left is the law, exact up to Mach 1
/// in the duct. A fixed number of Newton passes, no branches on values: lanes march alike.
/// @source Benson R. S. 1982, The Thermodynamics and Gas Dynamics of Internal Combustion Engines,
/// vol. I, ch. 6 (boundaries of unsteady flow), from memory; NACA Report 1135 (choking).
/// theory T13
namespace plenair::ends {

/// Newton passes: from the first guess to 1e-6 of the flow in steady flow, 3e-6 behind waves that
/// raise the pressure thirtyfold.
inline constexpr int leaving_passes = 3;
inline constexpr int entering_passes = 4;

/// Smallest opening over the area of its duct that is told from a wall.
inline constexpr double least_opening = 1e-12;

/// What every end takes of the charge: C numbers or packs, Duct a laws::DuctLaw, Orifice a
/// laws::OrificeLaw of such numbers.
template <class C, class Duct, class Orifice>
struct Relations {
    gas::PerfectGas<C> gas;
    Duct duct;
    Orifice orifice;
};

/// Gas at the end of a duct, seen from outside.
template <class R>
struct DuctEnd {
    R rho, v, rt, p, y;  ///< extrapolated face state, v positive into the duct
    R area;  ///< [m2]
};

/// What crosses the end: all per time, positive into the duct; pressure and velocity at the face.
template <class R>
struct Crossing {
    R mass, pressure, velocity, h0, fresh, rho;
};

/// The duct's own state with its wave.
template <class R>
struct Wave {
    R sound;  ///< speed of sound [m/s]
    R closed;  ///< pressure if the end were closed [Pa]: above what stands outside, gas leaves
    R closed_sound;  ///< speed of sound there
};

template <class R, class Laws>
[[nodiscard]] inline Wave<R> arriving_wave(const DuctEnd<R>& f, const Laws& laws) {
    using arithmetic::sqrt;
    const R sound = sqrt(laws.gas.gamma * f.rt);
    return {sound,
            f.p * laws.duct.wave_pressure(-f.v / sound),
            sound - (0.5 * (laws.gas.gamma - 1.0)) * f.v};
}

/// psi^2 of an orifice and its slope over x = 1 - p2/p1, continued beyond x = 0 as a straight line,
/// for Newton passes that overshoot.
template <class R>
struct Psi {
    R square, slope;
};

template <class R, class Orifice>
[[nodiscard]] inline Psi<R> psi_with_slope(const Orifice& law, R x) {
    using arithmetic::max;
    using arithmetic::min;
    using arithmetic::select;
    const R inside = min(x, R(law.choked_x));
    const R at = max(inside, R(0.0));
    const R factor = law.factor(at);
    const R slope = factor + at * law.factor.slope(at);
    return {inside * factor, select(x < law.choked_x, slope, R(0.0))};
}

/// Gas that leaves the duct through an ideal opening of `opening` (effective area over that of the
/// duct, at most 1) to the static pressure p_back: stagnation state of the stream at the end
/// upstream of the opening. The flow function D(M) of the duct equals opening times psi(p_back/p0),
/// with M and p0 tied by the wave; the unknown is n = D/D(1). A stream that already arrives faster
/// than sound and that the opening can swallow goes as it is.
/// theory T14
template <class R, class Laws>
[[nodiscard]] inline Crossing<R> leaving(
    const DuctEnd<R>& f, const Wave<R>& wave, const Laws& laws, R opening, R p_back) {
    using arithmetic::max;
    using arithmetic::min;
    using arithmetic::select;
    using arithmetic::sqrt;
    const auto& duct = laws.duct;
    const auto gamma = laws.gas.gamma;
    const auto d = 0.5 * (gamma - 1.0);
    const auto top = duct.choked_flow * duct.choked_flow;
    const R share = max(opening, R(least_opening));
    const R e = share * share;
    const R ratio = min(p_back / wave.closed, R(1.0));
    // First guess: incompressible opening, the fall of p0 with the flow as up to Mach 1.
    const R c = (2.0 / top) * e;
    const R head = 1.0 - ratio;
    const R cq = c * duct.sonic_fall;
    R n = min(2.0 * c * head / (cq + sqrt(cq * cq + 4.0 * c * head) + 1e-30), share);
    R mach(0.0);
    R mach_per_flow(0.0);
    const auto find_mach = [&] {
        const R inverse = 1.0 / (1.0 + sqrt(max(1.0 - n * n, R(0.0))));
        const R s = n * inverse;
        mach_per_flow = inverse * duct.mach_of_flow(s * s);
        mach = n * mach_per_flow;
    };
    for (int pass = 0; pass < leaving_passes; ++pass) {
        find_mach();
        const R left = ratio * duct.wave(mach) / duct.rise(mach * mach);  // p_back/p0
        const auto psi = psi_with_slope(laws.orifice, 1.0 - left);
        const R fall = gamma * mach_per_flow * left / ((1.0 + mach) * (1.0 + d * mach));
        const R slope = 2.0 * top * n + e * psi.slope * fall + 1e-30;
        n = max(min(n - (top * n * n - e * psi.square) / slope, R(1.0)), R(0.0));
    }
    find_mach();
    const R arriving = -f.v / wave.sound;
    const auto whole = arriving >= R(1.0);
    const R faster = min(max(arriving, R(1.0)), R(2.0));
    // Swallowed whole: both conditions in one number, for packs.
    const auto as_it_is = select(whole, share - duct.supersonic(faster), R(-1.0)) >= R(0.0);
    const R sound = wave.closed_sound / (1.0 + d * mach);
    const R pressure = select(as_it_is, f.p, wave.closed / duct.wave(mach));
    const R rho = select(as_it_is, f.rho, gamma * pressure / (sound * sound));
    const R w = select(as_it_is, -f.v, mach * sound);
    const R h0 = laws.gas.h_per_rt * pressure / rho + 0.5 * w * w;
    return {-(rho * w * f.area), pressure, -w, h0, f.y, rho};
}

/// Entry from gas at stagnation state (p0, h0, y0) into a duct with loss k0 on the duct's own
/// velocity head, rho w^2/2 with the density there: p = (p0 - k0 rho w^2/2) (1 - X)^(g/(g-1)),
/// X = w^2/(2 h0), met with the wave; at most Mach 1 in the duct. @pre p0 is above the wave's
/// closed pressure
/// theory T23
template <class R, class Laws>
[[nodiscard]] inline Crossing<R> entering_mouth(
    const DuctEnd<R>& f, const Laws& laws, const Wave<R>& wave, R p0, R h0, R y0, R k0) {
    using arithmetic::max;
    using arithmetic::min;
    using arithmetic::select;
    using arithmetic::sqrt;
    const auto& duct = laws.duct;
    const auto gamma = laws.gas.gamma;
    const auto inverse_k = laws.gas.h_per_rt;
    const R sonic = sqrt(2.0 * duct.sonic_x * h0);
    const R inverse_sound = 1.0 / wave.sound;
    const R inverse_h0 = 1.0 / h0;
    const R drive = max(p0 - wave.closed, R(0.0));
    // First guess: wave and law to second order in the velocity.
    const R z = gamma * wave.closed / wave.closed_sound;
    const R c = 0.5 * (1.0 + k0) * p0 * inverse_h0 * inverse_k +
                0.25 * (gamma + 1.0) * z / wave.closed_sound;
    R w = min(2.0 * drive / (z + sqrt(z * z + 4.0 * c * drive)), sonic);
    R x(0.0);
    R warmth(0.0);  // T/T0
    R pressure(0.0);
    const auto law = [&] {
        x = 0.5 * w * w * inverse_h0;
        warmth = 1.0 / (1.0 - x);
        const R fall = duct.fall(x);
        const R rest = 1.0 / (1.0 + k0 * inverse_k * x * fall * warmth);
        pressure = p0 * fall * rest;
        // d ln p/dx, the loss's part with it
        return -warmth *
               (inverse_k + rest * k0 * inverse_k * fall * (1.0 + (1.0 - inverse_k) * x * warmth));
    };
    for (int pass = 0; pass < entering_passes; ++pass) {
        const R slope = law();
        const R m = duct.within_waves(R((w - f.v) * inverse_sound));
        const R behind = f.p * duct.wave(m);
        const R steep = f.p * duct.wave.slope(m) * inverse_sound;
        const R rate = steep - pressure * slope * w * inverse_h0;
        w = max(min(w - (behind - pressure) / rate, sonic), R(0.0));
    }
    (void)law();
    const R rho = pressure * warmth * inverse_h0 * inverse_k;
    return {rho * w * f.area, pressure, w, h0, y0, rho};
}

/// Gas at rest outside an opening.
template <class R>
struct OutsideGas {
    R p, rt, h, y;  ///< pressure, R T of its own gas, enthalpy on the duct's datum, fresh fraction
};

/// No diffuser behind an opening: a factor of one that leaves every bit as it is.
struct NoDiffuser {};
template <class R>
[[nodiscard]] inline R operator*(R value, NoDiffuser) {
    return value;
}

/// Gas that enters through an opening (effective area over that of the duct, at most 1) from still
/// gas outside; downstream counts the static pressure in the duct. It keeps its total enthalpy;
/// where it would pass Mach 1 in the duct it stays there, and the pressure is what carries the
/// flow. A diffuser behind the opening gives the part c of p0 - p_throat back: `diffuser` is
/// 1/(1 - c), and the throat's 1 - p/p0 so many times that of the duct. @pre the pressure outside
/// is above the wave's closed pressure
/// theory T15, T18
template <class R, class Laws, class Diffuser>
[[nodiscard]] inline Crossing<R> entering_opening(const DuctEnd<R>& f,
                                                  const Wave<R>& wave,
                                                  const Laws& laws,
                                                  R opening,
                                                  const OutsideGas<R>& outside,
                                                  Diffuser diffuser) {
    using arithmetic::max;
    using arithmetic::min;
    using arithmetic::select;
    using arithmetic::sqrt;
    const auto& duct = laws.duct;
    const auto gamma = laws.gas.gamma;
    const auto k = laws.gas.k;
    const R e = opening * opening + least_opening * least_opening;
    const R source = e * outside.p * outside.p / outside.rt;  // times psi^2: (m/A)^2
    const R h = outside.h;
    const R sonic = sqrt(2.0 * duct.sonic_x * h);
    const R inverse_sound = 1.0 / wave.sound;
    const R inverse_p = 1.0 / outside.p;
    const R drive = max(outside.p - wave.closed, R(0.0));
    const R z = gamma * wave.closed / wave.closed_sound;
    // First guess: (rho v)^2 = source 2 (p - p_closed - z v)/p
    const R dense = wave.closed / (k * h);
    const R c = 0.5 * dense * dense * outside.p / (source * diffuser);
    R v = min(2.0 * drive / (z + sqrt(z * z + 4.0 * c * drive)), sonic);
    // Nor more than the wave that brings the pressure outside, nor than a choked opening gives,
    // both with the wave's pressure as a series in m = v over the speed of sound at rest.
    const auto second = 0.25 * gamma * (gamma + 1.0);
    const R step = drive / wave.closed;
    const R full = (k * duct.choked_flow) * h * sqrt(source) / (wave.closed * wave.closed_sound);
    R choked = 2.0 * full / (1.0 + sqrt(1.0 + (4.0 * gamma) * full));
    for (int i = 0; i < 2; ++i) {
        const R tail = second * choked * choked;
        const R third = (1.0 / 3.0) * tail * choked;
        choked -= (choked * (1.0 + gamma * choked + tail + third) - full) /
                  (1.0 + 2.0 * gamma * choked + 3.0 * tail + 4.0 * third);
    }
    const R equal = 2.0 * step / (gamma + sqrt(gamma * gamma + 4.0 * second * step));
    v = min(v, wave.closed_sound * min(equal, choked));
    R pressure(0.0);
    R flux2(0.0);
    R through(0.0);
    for (int pass = 0;; ++pass) {
        const R m = duct.within_waves(R((v - f.v) * inverse_sound));
        pressure = f.p * duct.wave(m);
        const R thermal = 1.0 / (k * (h - 0.5 * v * v));
        const R flux = pressure * v * thermal;
        const auto psi = psi_with_slope(laws.orifice, R((1.0 - pressure * inverse_p) * diffuser));
        flux2 = source * psi.square;
        through = flux;
        if (pass == entering_passes) {
            break;
        }
        const R steep = f.p * duct.wave.slope(m) * inverse_sound;
        const R flux_slope = thermal * (steep * v + pressure * (1.0 + k * v * v * thermal));
        const R slope =
            2.0 * flux * flux_slope + source * psi.slope * steep * inverse_p * diffuser + 1e-30;
        v = max(min(v - (flux * flux - flux2) / slope, sonic), R(0.0));
    }
    // At Mach 1 the duct takes what the opening gives.
    const R given = sqrt(max(flux2, R(0.0)));
    const R mass_flux = select(v >= sonic, max(given, through), through);
    pressure = max(pressure, mass_flux * sonic * (1.0 / gamma));
    // v = m (h - v^2/2) k/p, solved without a square that single precision cannot hold.
    const R thin = k * mass_flux / pressure;
    const R v_in = 2.0 * h * thin / (1.0 + sqrt(1.0 + 2.0 * h * thin * thin));
    const R rho_in = pressure / (k * (h - 0.5 * v_in * v_in));
    return {mass_flux * f.area, pressure, v_in, h, outside.y, rho_in};
}

/// One of two crossings by the way of the flow, each evaluated only where some lane goes that way.
template <class Condition, class Inward, class Outward>
[[nodiscard]] inline auto by_direction(Condition inward, Inward&& enter, Outward&& leave) {
    using arithmetic::any;
    using arithmetic::select;
    using Result = decltype(enter());
    using R = decltype(Result::mass);
    if (!any(inward)) {
        return leave();
    }
    const Result in = enter();
    if (!any(select(inward, R(0.0), R(1.0)) > R(0.5))) {
        return in;
    }
    const Result out = leave();
    return Result{select(inward, in.mass, out.mass),
                  select(inward, in.pressure, out.pressure),
                  select(inward, in.velocity, out.velocity),
                  select(inward, in.h0, out.h0),
                  select(inward, in.fresh, out.fresh),
                  select(inward, in.rho, out.rho)};
}

/// Mouth of a duct in gas of stagnation state (p0, h0, y0) with entry loss k0; outflow is a free
/// jet to the pressure p0.
template <class R, class Laws>
[[nodiscard]] inline Crossing<R> entry(
    const DuctEnd<R>& f, const Laws& laws, const Wave<R>& wave, R p0, R h0, R y0, R k0) {
    return by_direction(
        p0 > wave.closed,
        [&] { return entering_mouth(f, laws, wave, p0, h0, y0, k0); },
        [&] { return leaving(f, wave, laws, R(1.0), p0); });
}

/// An opening of effective area cd_a at the end of a duct, both ways: throttle, valve. An opening
/// wider than the duct is as wide as the duct. `diffuser`: 1/(1 - pressure recovery) behind a
/// throttle, where air enters.
template <class R, class Laws, class Diffuser = NoDiffuser>
[[nodiscard]] inline Crossing<R> opening_end(const DuctEnd<R>& f,
                                             const Laws& laws,
                                             R cd_a,
                                             const OutsideGas<R>& outside,
                                             Diffuser diffuser = {}) {
    using arithmetic::min;
    const Wave<R> wave = arriving_wave(f, laws);
    const R opening = min(cd_a / f.area, R(1.0));
    return by_direction(
        outside.p > wave.closed,
        [&] { return entering_opening(f, wave, laws, opening, outside, diffuser); },
        [&] { return leaving(f, wave, laws, opening, outside.p); });
}

/// Exit of a duct into a room through all that follows, in one loss coefficient on the duct's own
/// velocity head, exit head included. Outwards that is an ideal opening of area A/sqrt(loss) driven
/// by the stagnation pressure: p0 - p_room = loss rho w^2/2 at low Mach numbers, choked where an
/// opening chokes (Saint-Venant and Wantzel 1839); a loss below 1 counts as 1. Backwards the air
/// loses loss + 1 heads.
/// theory T29
template <class R, class Laws>
[[nodiscard]] inline Crossing<R> exit_end(const DuctEnd<R>& f,
                                          const Laws& laws,
                                          R loss,
                                          const OutsideGas<R>& room) {
    using arithmetic::max;
    using arithmetic::sqrt;
    const Wave<R> wave = arriving_wave(f, laws);
    return by_direction(
        room.p > wave.closed,
        [&] { return entering_mouth(f, laws, wave, room.p, room.h, room.y, loss); },
        [&] { return leaving(f, wave, laws, 1.0 / sqrt(max(loss, R(1.0))), room.p); });
}

}  // namespace plenair::ends

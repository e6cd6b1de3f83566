#pragma once

#include "solver/arithmetic/real.hpp"
#include "solver/gas/perfect_gas.hpp"
#include "solver/laws/orifice.hpp"

/// Flow through the end of a duct where an outside law meets the wave that leaves the duct.
/// In all of them v is the velocity INTO the duct at its end, and the outgoing characteristic gives
///     p_b = p_f + rho_f a_f (v_b - v_f)
/// with f the state extrapolated to the face. The law and the characteristic are solved together
/// (impedance form): a law put on the cell pressure alone makes the total air depend on the time
/// step.
namespace plenair::ends {

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

/// (1 - (1 - X)^g)/(g X) with X = w^2/(2 h0): isentropic fall of pressure in an entry, series in X.
template <class R, class C>
[[nodiscard]] inline R entry_series(R x, const gas::PerfectGas<C>& gas) {
    const C g = gas.h_per_rt;
    return 1.0 - 0.5 * (g - 1.0) * x *
                     (1.0 - (g - 2.0) * (1.0 / 3.0) * x *
                                (1.0 - (g - 3.0) * 0.25 * x * (1.0 - (g - 4.0) * 0.2 * x)));
}

/// Entry from gas at stagnation state (p0, h0, y0) into a duct with loss k0 on the duct's own
/// velocity head, rho w^2/2 with the density there; outflow meets the pressure p_back and loses its
/// dynamic head. Solves (p0 - k0 rho w^2/2)(1 - X)^g = p_f + z (w - v_f), X = w^2/(2 h0), three
/// passes on the compressibility.
template <class R, class C>
[[nodiscard]] inline Crossing<R> entry(
    const DuctEnd<R>& f, R p0, R h0, R y0, R k0, R p_back, const gas::PerfectGas<C>& gas) {
    using arithmetic::max;
    using arithmetic::min;
    using arithmetic::select;
    using arithmetic::sqrt;
    const R a = sqrt(gas.gamma * f.rt);
    const R z = f.rho * a;
    const R pf = f.p;
    const R rt0 = gas.k * h0;
    const R rho0 = p0 / rt0;
    const R drive = p0 - pf + z * f.v;
    const R positive = max(drive, R(0.0));
    R x = min(max(f.v, R(0.0)) * max(f.v, R(0.0)) / (2.0 * h0), R(0.15));
    R w = R(0.0);
    // rho/rho0 (1 - X)^g = p/p0 (1 - X)^(g - 1)
    const C g = gas.h_per_rt;
    const R lost = k0 * min(pf / p0, R(1.0));
    for (int pass = 0; pass < 3; ++pass) {
        const R thinner = 1.0 - (g - 1.0) * x * (1.0 - (0.5 * g - 1.0) * x);
        const R c = rho0 * (entry_series(x, gas) + lost * thinner);
        w = 2.0 * positive / (z + sqrt(z * z + 2.0 * c * positive));
        x = min(w * w / (2.0 * h0), R(0.15));
    }
    const R out = (p_back - pf) / z + f.v;
    const auto inward = drive > 0.0;
    const R v = select(inward, w, min(out, R(0.0)));
    const R pb = pf + z * (v - f.v);
    const R rho_in = pb / (rt0 * (1.0 - x));
    const R rho_out = f.rho + (pb - pf) / (a * a);
    const R rho = select(inward, rho_in, rho_out);
    const R h_out = gas.h_per_rt * pb / rho_out + 0.5 * v * v;
    return {rho * v * f.area, pb, v, select(inward, h0, h_out), select(inward, y0, f.y), rho};
}

/// Throttle or other orifice of effective area cd_a between still gas (p0, rt0, y0) and the end of
/// a duct; the jet's momentum is the caller's. In an opening wider than the duct the air still has
/// to reach the duct's velocity: the area is capped at 0.999 of it. Outflow loses its dynamic head
/// in the orifice.
template <class R, class Law, class C>
[[nodiscard]] inline Crossing<R> orifice_end(
    const DuctEnd<R>& f, const Law& law, R cd_a, R p0, R rt0, R y0, const gas::PerfectGas<C>& gas) {
    using arithmetic::abs;
    using arithmetic::max;
    using arithmetic::min;
    using arithmetic::select;
    using arithmetic::sqrt;
    const R a = sqrt(gas.gamma * f.rt);
    const R pf = f.p;
    const R z = a / f.area;  // on mass flow
    const R effective = min(cd_a, 0.999 * f.area);
    const R drive = p0 - pf + f.rho * a * f.v;
    const auto inward = drive > 0.0;
    const R head = abs(drive);
    const R upstream_p = select(inward, p0, pf);
    const R upstream_rho = select(inward, p0 / rt0, f.rho);
    R x = min(head / upstream_p, R(1.0));
    R m = R(0.0);
    for (int pass = 0; pass < 3; ++pass) {
        const R k2 = effective * effective * upstream_rho * law.flow_factor(x);
        m = 2.0 * head / (z + sqrt(z * z + 4.0 * head / k2));
        x = min(m * m / (k2 * upstream_p), R(1.0));
    }
    const R mass = select(inward, m, -m);
    const R pb = pf + z * (mass - f.rho * f.v * f.area);
    const R rho_out = f.rho + (pb - pf) / (a * a);
    const R rho = select(inward, pb / rt0, rho_out);
    const R v = mass / (rho * f.area);
    const R h0 = select(inward, gas.h_per_rt * rt0, gas.h_per_rt * pb / rho_out + 0.5 * v * v);
    return {mass, pb, v, h0, select(inward, y0, f.y), rho};
}

/// ((1 - X)^-g - 1)/(g X) with X = w^2/(2 h0), g = gamma/(gamma - 1): rise from static to
/// stagnation pressure, a binomial series good to 3e-6 at Mach 1.
template <class R, class C>
[[nodiscard]] inline R stagnation_series(R x, const gas::PerfectGas<C>& gas) {
    const C g = gas.h_per_rt;
    R sum(1.0);
    for (int n = 10; n >= 2; --n) {
        sum = 1.0 + (g + (n - 1.0)) * (1.0 / n) * x * sum;
    }
    return sum;
}

/// Gas outside the exit of a duct.
template <class R>
struct Outside {
    R p, rt, y;
};

/// Exit of a duct into a room through all that follows, in one loss coefficient on the duct's own
/// velocity head, exit head included. Outwards that is an ideal opening of area A/sqrt(loss) driven
/// by the stagnation pressure: p0 - p_room = loss rho w^2/2 at low Mach numbers, choked where an
/// opening chokes (Saint-Venant and Wantzel 1839); a loss below 1 counts as 1. Backwards the air
/// loses loss + 1 heads.
template <class R, class Law, class C>
[[nodiscard]] inline Crossing<R> exit_end(const DuctEnd<R>& f,
                                          const Law& law,
                                          R loss,
                                          const Outside<R>& room,
                                          const gas::PerfectGas<C>& gas) {
    using arithmetic::abs;
    using arithmetic::max;
    using arithmetic::min;
    using arithmetic::select;
    using arithmetic::sqrt;
    const R a = sqrt(gas.gamma * f.rt);
    const R z = a / f.area;
    const R arriving = -(f.rho * f.v * f.area);
    const R drive = f.p + z * arriving - room.p;
    const auto outward = drive > R(0.0);
    const R head = abs(drive);
    // Stagnation state of the arriving gas, up to Mach 1.
    const R square = max(-f.v, R(0.0)) * max(-f.v, R(0.0));
    const R heat = min(square / (2.0 * gas.h_per_rt * f.rt + square),
                       R((gas.gamma - 1.0) / (gas.gamma + 1.0)));
    const R series = stagnation_series(heat, gas);
    const R rho0 = f.rho * (1.0 + gas.h_per_rt * heat * series) * (1.0 - heat);
    const R rise = (1.0 - heat) * series / (2.0 * f.rho * f.area * f.area);  // (p0 - p)/m^2
    const R opening2 = f.area * f.area / max(loss, R(1.0));
    R m = max(arriving, R(0.0));
    for (int pass = 0; pass < 3; ++pass) {
        const R p0 = f.p - z * (m - arriving) + rise * m * m;
        const R x = max(min(1.0 - room.p / p0, R(1.0)), R(0.0));
        const R resistance = 1.0 / (opening2 * rho0 * law.flow_factor(x)) - rise;
        m = 2.0 * head / (z + sqrt(max(z * z + 4.0 * head * resistance, R(0.0))));
    }
    const R back = 0.5 * (loss + 1.0) / (f.rho * f.area * f.area);
    const R mass = select(outward, m, -(2.0 * head / (z + sqrt(z * z + 4.0 * head * back))));
    const R pb = f.p - z * (mass - arriving);
    const R rho_out = f.rho + (pb - f.p) / (a * a);
    const R rho = select(outward, rho_out, pb / room.rt);
    const R w = mass / (rho * f.area);
    const R h0 = select(outward, gas.h_per_rt * pb / rho_out + 0.5 * w * w, gas.h_per_rt * room.rt);
    return {-mass, pb, -w, h0, select(outward, f.y, room.y), rho};
}

/// Gas behind an intake valve.
template <class R>
struct BehindValve {
    R p, rt, h, y;  ///< pressure, R T of its own gas, enthalpy on the duct's datum, fresh fraction
};

/// Intake valve at the end of a duct: stagnation state upstream of the seat, static pressure
/// downstream. The effective area is capped at 0.999 of the duct: above it the duct itself would
/// have to choke.
template <class R, class Law, class C>
[[nodiscard]] inline Crossing<R> valve_end(const DuctEnd<R>& f,
                                           const Law& law,
                                           R cd_a,
                                           const BehindValve<R>& c,
                                           const gas::PerfectGas<C>& gas) {
    using arithmetic::abs;
    using arithmetic::max;
    using arithmetic::min;
    using arithmetic::select;
    using arithmetic::sqrt;
    const R a = sqrt(gas.gamma * f.rt);
    const R pf = f.p;
    const R z = a / f.area;
    const R drive = pf - f.rho * a * f.v - c.p;  // positive: into the cylinder
    const auto forward = drive > 0.0;
    const R head = abs(drive);
    const R area = min(cd_a, 0.999 * f.area) + 1e-12;
    const R upstream_p = select(forward, pf, c.p);
    const R upstream_rho = select(forward, f.rho, c.p / c.rt);
    R x = min(head / upstream_p, R(1.0));
    R m = R(0.0);
    const R duct2 = f.area * f.area;
    for (int pass = 0; pass < 3; ++pass) {
        const R mach2 = m * m / (f.rho * f.rho * duct2 * a * a);
        const R stagnation = select(forward, (1.0 + 0.25 * mach2) / (2.0 * f.rho * duct2), R(0.0));
        const R inverse_k2 =
            max(1.0 / (area * area * upstream_rho * law.flow_factor(x)) - stagnation,
                1e-4 / (f.rho * duct2));
        m = 2.0 * head / (z + sqrt(z * z + 4.0 * head * inverse_k2));
        x = min((m * m * (inverse_k2 + stagnation)) / upstream_p, R(1.0));
    }
    const R mass = select(forward, -m, m);  // into the duct
    const R pb = pf + z * (mass - f.rho * f.v * f.area);
    const R rho_in = pb / (gas.k * c.h);
    const R rho_out = f.rho + (pb - pf) / (a * a);
    const R rho = select(forward, rho_out, rho_in);
    const R v = mass / (rho * f.area);
    const R h0 = select(forward, gas.h_per_rt * f.rt + 0.5 * v * v, c.h);
    return {mass, pb, v, h0, select(forward, f.y, c.y), rho};
}

}  // namespace plenair::ends

#pragma once

#include "solver/arithmetic/real.hpp"
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
template <class R>
[[nodiscard]] inline R entry_series(R x, double gamma) {
    const double g = gamma / (gamma - 1.0);
    return 1.0 - 0.5 * (g - 1.0) * x *
                     (1.0 - (g - 2.0) / 3.0 * x *
                                (1.0 - (g - 3.0) / 4.0 * x * (1.0 - (g - 4.0) / 5.0 * x)));
}

/// Entry from gas at stagnation state (p0, h0, y0) into a duct with loss k0 on the entry velocity
/// head; outflow meets the pressure p_back and loses its dynamic head. Solves p0 - rho0/2 (S + k0)
/// w^2 = p_f + z (w - v_f), two passes on the compressibility S.
template <class R>
[[nodiscard]] inline Crossing<R> entry(
    const DuctEnd<R>& f, R p0, R h0, R y0, R k0, R p_back, double gamma) {
    using arithmetic::max;
    using arithmetic::min;
    using arithmetic::select;
    using arithmetic::sqrt;
    const double k = (gamma - 1.0) / gamma;
    const R a = sqrt(gamma * f.rt);
    const R z = f.rho * a;
    const R pf = f.p;
    const R rt0 = k * h0;
    const R rho0 = p0 / rt0;
    const R drive = p0 - pf + z * f.v;
    const R positive = max(drive, R(0.0));
    R x = min(max(f.v, R(0.0)) * max(f.v, R(0.0)) / (2.0 * h0), R(0.15));
    R w = R(0.0);
    for (int pass = 0; pass < 3; ++pass) {
        const R c = rho0 * (entry_series(x, gamma) + k0);
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
    const R h_out = pb / rho_out / k + 0.5 * v * v;
    return {rho * v * f.area, pb, v, select(inward, h0, h_out), select(inward, y0, f.y), rho};
}

/// Throttle or other orifice of effective area cd_a between still gas (p0, rt0, y0) and the end of
/// a duct; the jet's momentum is the caller's. In an opening wider than the duct the air still has
/// to reach the duct's velocity: the area is capped at 0.999 of it. Outflow loses its dynamic head
/// in the orifice.
template <class R>
[[nodiscard]] inline Crossing<R> orifice_end(const DuctEnd<R>& f,
                                             const laws::OrificeFunction& law,
                                             R cd_a,
                                             R p0,
                                             R rt0,
                                             R y0,
                                             double gamma) {
    using arithmetic::abs;
    using arithmetic::max;
    using arithmetic::min;
    using arithmetic::select;
    using arithmetic::sqrt;
    const double k = (gamma - 1.0) / gamma;
    const R a = sqrt(gamma * f.rt);
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
    const R h0 = select(inward, rt0 / k, pb / rho_out / k + 0.5 * v * v);
    return {mass, pb, v, h0, select(inward, y0, f.y), rho};
}

/// Gas behind an intake valve.
template <class R>
struct BehindValve {
    R p, rt, h, y;  ///< pressure, R T of its own gas, enthalpy on the duct's datum, fresh fraction
};

/// Intake valve at the end of a duct: stagnation state upstream of the seat, static pressure
/// downstream. The effective area is capped at 0.999 of the duct: above it the duct itself would
/// have to choke.
template <class R>
[[nodiscard]] inline Crossing<R> valve_end(const DuctEnd<R>& f,
                                           const laws::OrificeFunction& law,
                                           R cd_a,
                                           const BehindValve<R>& c,
                                           double gamma) {
    using arithmetic::abs;
    using arithmetic::max;
    using arithmetic::min;
    using arithmetic::select;
    using arithmetic::sqrt;
    const double k = (gamma - 1.0) / gamma;
    const R a = sqrt(gamma * f.rt);
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
    const R rho_in = pb / (k * c.h);
    const R rho_out = f.rho + (pb - pf) / (a * a);
    const R rho = select(forward, rho_out, rho_in);
    const R v = mass / (rho * f.area);
    const R h0 = select(forward, f.rt / k + 0.5 * v * v, c.h);
    return {mass, pb, v, h0, select(forward, f.y, c.y), rho};
}

}  // namespace plenair::ends

#pragma once

#include <boost/math/tools/toms748_solve.hpp>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <stdexcept>

/// Flow of a perfect gas through the end of a duct, every law solved by bracketing in its textbook
/// form: no series, no fixed number of passes, no branch left out. A reference for tests, written
/// without a look at the product's solution; shares no code with it.
///
/// Laws: docs/theory.md, "Between parts". Gas dynamics: NACA Report 1135 (1953), eq. 43-45, 80;
/// orifice of Saint-Venant and Wantzel 1839; inflow with the pipe choked and the waves at an end:
/// Benson 1982, The Thermodynamics and Gas Dynamics of Internal Combustion Engines I, ch. on
/// boundary conditions (from memory); the wave between two states: Toro 2009, Riemann Solvers,
/// section 4.2. Velocities are positive INTO the duct.
namespace plenair::reference {

struct Gas {
    double gamma = 1.4;
    [[nodiscard]] double k() const { return (gamma - 1) / gamma; }
    /// Static over total pressure at Mach 1.
    [[nodiscard]] double critical() const { return std::pow(2 / (gamma + 1), 1 / k()); }
    /// Speed of sound where the flow of total enthalpy h0 [J/kg] reaches it [m/s].
    [[nodiscard]] double sonic(double h0) const {
        return std::sqrt(2 * (gamma - 1) / (gamma + 1) * h0);
    }
};

/// Gas in the duct at its end [Pa], [kg/m3], [m/s], and the duct's section there [m2].
struct Duct {
    double p = 1e5, rho = 1.2, v = 0, area = 1e-3;
    [[nodiscard]] double a(const Gas& gas) const { return std::sqrt(gas.gamma * p / rho); }
    [[nodiscard]] double mach(const Gas& gas) const { return v / a(gas); }
};

/// Gas at rest outside: pressure [Pa], R T of its own gas [J/kg], enthalpy on the duct's datum.
struct Reservoir {
    double p = 1e5, rt = 287 * 300.0, h = 3.5 * 287 * 300.0;
};
inline Reservoir reservoir(const Gas& gas, double p, double rt) {
    return {p, rt, rt / gas.k()};
}

/// What crosses the end: mass flow into the duct [kg/s], the duct's state there, total enthalpy.
struct Through {
    double mass = 0;
    Duct duct;
    double h0 = 0;
};

/// Root of a function that changes sign once in [low, high], to rounding: bisection and inverse
/// cubic steps inside a bracket (Alefeld, Potra and Shi 1995, algorithm 748).
template <class F>
double bisect(const F& f, double low, double high) {
    const double at_low = f(low);
    const double at_high = f(high);
    if (at_low == 0 || at_high == 0) {
        return at_low == 0 ? low : high;
    }
    if ((at_low > 0) == (at_high > 0)) {
        // Flow about to turn: the root is an end of the bracket but for rounding.
        const double small = std::min(std::abs(at_low), std::abs(at_high));
        if (small < 1e-9 * std::max(std::abs(at_low), std::abs(at_high))) {
            return std::abs(at_low) < std::abs(at_high) ? low : high;
        }
        throw std::runtime_error("duct_ends: no change of sign");
    }
    std::uintmax_t passes = 200;
    const auto bracket = boost::math::tools::toms748_solve(
        f, low, high, at_low, at_high, boost::math::tools::eps_tolerance<double>(51), passes);
    return 0.5 * (bracket.first + bracket.second);
}

/// Mass flow [kg/s] from rest at p0, rt0 through an effective area to static pressure p.
inline double orifice(const Gas& gas, double area, double p0, double rt0, double p) {
    const double g = gas.gamma;
    const double r = std::max(p / p0, gas.critical());
    const double psi =
        r >= 1 ? 0 : std::pow(r, 1 / g) * std::sqrt(2 / gas.k() * (1 - std::pow(r, gas.k())));
    return area * p0 / std::sqrt(rt0) * psi;
}

/// Total pressure of a moving gas.
inline double total_pressure(const Gas& gas, const Duct& d) {
    const double m = d.mach(gas);
    return d.p * std::pow(1 + 0.5 * (gas.gamma - 1) * m * m, 1 / gas.k());
}
/// Total enthalpy [J/kg].
inline double total_enthalpy(const Gas& gas, const Duct& d) {
    return d.p / d.rho / gas.k() + 0.5 * d.v * d.v;
}

/// State of a Mach number (positive into the duct) at total pressure and R T0.
inline Duct at_mach(const Gas& gas, double p0, double rt0, double mach, double area) {
    const double t = 1 + 0.5 * (gas.gamma - 1) * mach * mach;
    const double p = p0 * std::pow(t, -1 / gas.k());
    const double rho = p * t / rt0;
    return {p, rho, mach * std::sqrt(gas.gamma * rt0 / t), area};
}

/// The duct's gas at its end after the wave that runs back into the duct has changed its pressure
/// to p: along the isentrope where it expands, behind a shock where it is compressed.
inline Duct behind_wave(const Gas& gas, const Duct& f, double p) {
    const double g = gas.gamma;
    const double a = f.a(gas);
    if (p <= f.p) {
        const double ratio = std::pow(p / f.p, 0.5 * gas.k());
        return {p, f.rho * std::pow(p / f.p, 1 / g), f.v + 2 * a / (g - 1) * (ratio - 1), f.area};
    }
    const double b = (g - 1) / (g + 1);
    const double v = f.v + (p - f.p) * std::sqrt(2 / ((g + 1) * f.rho) / (p + b * f.p));
    return {p, f.rho * (p / f.p + b) / (b * p / f.p + 1), v, f.area};
}

/// The pressure at which the wave brings the duct's gas to rest: a shock ahead of outflow, an
/// expansion behind inflow.
inline double stop_pressure(const Gas& gas, const Duct& f) {
    const double g = gas.gamma;
    if (f.v > 0) {
        const double t = 1 - 0.5 * (g - 1) * f.v / f.a(gas);
        return t > 0 ? f.p * std::pow(t, 2 / gas.k()) : 0;
    }
    // (p - pf)^2 2/((g+1) rho) = v^2 (p + (g-1)/(g+1) pf)
    const double rise = 0.25 * (g + 1) * f.rho * f.v * f.v;
    return f.p + rise + std::sqrt(rise * rise + 2 * rise * f.p * 2 * g / (g + 1));
}

/// Where the wave brings outflow to Mach 1: no lower pressure can reach into the duct. A face that
/// is supersonic already sends no wave: its own state.
inline Duct sonic_outflow(const Gas& gas, const Duct& f) {
    if (-f.v >= f.a(gas)) {
        return f;
    }
    const double stop = stop_pressure(gas, f);
    const double p = bisect(
        [&](double x) {
            const Duct b = behind_wave(gas, f, x);
            return -b.v - b.a(gas);
        },
        1e-9 * stop,
        stop);
    return behind_wave(gas, f, p);
}

inline Through leaving(const Gas& gas, const Duct& b) {
    return {b.rho * b.v * b.area, b, total_enthalpy(gas, b)};
}

/// Out of the duct through a seat, plate or exit of effective area `opening` (at most the duct's)
/// to static pressure p: total state before the opening.
inline Through out_through(const Gas& gas, const Duct& f, double opening, double p) {
    const double area = std::min(opening, f.area);
    const auto excess = [&](const Duct& b) {
        const double p0 = total_pressure(gas, b);
        const double rt0 = total_enthalpy(gas, b) * gas.k();
        return -b.rho * b.v * b.area - orifice(gas, area, p0, rt0, p);
    };
    const Duct limit = sonic_outflow(gas, f);
    if (excess(limit) <= 0) {
        return leaving(gas, limit);  // the duct itself chokes
    }
    const double stop = stop_pressure(gas, f);
    const double low = limit.p < stop ? limit.p : 1e-9 * stop;
    const double root = bisect([&](double x) { return excess(behind_wave(gas, f, x)); }, low, stop);
    return leaving(gas, behind_wave(gas, f, root));
}

/// Duct state of gas that enters with total enthalpy h0 at mass flow per area G and pressure p:
/// p/(k rho) + v^2/2 = h0, v = G/rho (the subsonic root).
inline Duct entered(const Gas& gas, double g, double h0, double p, double area) {
    if (g <= 0) {
        return {p, p / (gas.k() * h0), 0, area};
    }
    const double b = p / (gas.k() * g);  // v^2/2 + b v - h0 = 0
    const double v = 2 * h0 / (b + std::sqrt(b * b + 2 * h0));
    return {p, g / v, v, area};
}

/// Into the duct from rest through an opening of effective area `opening`: orifice law to the
/// duct's static pressure, energy kept, Mach 1 in the duct at most.
inline Through in_through(const Gas& gas, const Duct& f, double opening, const Reservoir& s) {
    const double area = std::min(opening, f.area);
    const auto state = [&](double p) {
        return entered(gas, orifice(gas, area, s.p, s.rt, p) / f.area, s.h, p, f.area);
    };
    const auto sonic_pressure = [&] {  // G a*/gamma = p at Mach 1
        const double a = gas.sonic(s.h);
        const auto beyond = [&](double p) {
            return orifice(gas, area, s.p, s.rt, p) / f.area * a / gas.gamma - p;
        };
        return bisect(beyond, 0, s.p);
    };
    const double floor = sonic_pressure();
    const auto excess = [&](double p) { return state(p).v - behind_wave(gas, f, p).v; };
    const double p = excess(floor) <= 0 ? floor : bisect(excess, floor, s.p);
    const Duct b = state(p);
    return {b.rho * b.v * b.area, b, s.h};
}

/// Opening between still gas and the duct, whichever way it flows: intake valve (cylinder outside)
/// or throttle in line (source outside).
inline Through opening(const Gas& gas, const Duct& f, double effective, const Reservoir& s) {
    return stop_pressure(gas, f) > s.p ? out_through(gas, f, effective, s.p)
                                       : in_through(gas, f, effective, s);
}

/// State of an entry at velocity w from total pressure p0 with loss K0 on the head rho w^2/2 of the
/// duct's own density: p = (p0 - K0 rho w^2/2)(1 - w^2/(2 h0))^(1/k), rho = p/(k (h0 - w^2/2)).
inline Duct entry_state(const Gas& gas, double p0, double h0, double loss, double w, double area) {
    const double t = 1 - w * w / (2 * h0);
    const double fall = std::pow(t, 1 / gas.k());
    const double p = p0 * fall / (1 + 0.5 * loss * w * w / (gas.k() * h0 * t) * fall);
    return {p, p / (gas.k() * h0 * t), w, area};
}

/// Mouth from still gas of total pressure s.p; outflow loses its dynamic head against `back`.
inline Through mouth(const Gas& gas, const Duct& f, const Reservoir& s, double loss, double back) {
    const double stop = stop_pressure(gas, f);
    if (stop < s.p) {
        const double w_max = gas.sonic(s.h);
        const auto excess = [&](double w) {
            const Duct b = entry_state(gas, s.p, s.h, loss, w, f.area);
            return behind_wave(gas, f, b.p).v - w;
        };
        const double w = excess(w_max) >= 0 ? w_max : bisect(excess, 0, w_max);
        const Duct b = entry_state(gas, s.p, s.h, loss, w, f.area);
        return {b.rho * b.v * b.area, b, s.h};
    }
    if (stop <= back) {
        return {0, behind_wave(gas, f, stop), s.h};
    }
    const Duct limit = sonic_outflow(gas, f);
    return leaving(gas, limit.p >= back ? limit : behind_wave(gas, f, back));
}

/// Open end: an entry without loss.
inline Through open_end(const Gas& gas, const Duct& f, const Reservoir& s) {
    return mouth(gas, f, s, 0, s.p);
}

/// Bench exit of loss K, exit head included: outwards an opening of area A/sqrt(K), backwards an
/// entry that loses K heads besides the one that it speeds up.
inline Through bench_exit(const Gas& gas, const Duct& f, double loss, const Reservoir& room) {
    return stop_pressure(gas, f) > room.p
               ? out_through(gas, f, f.area / std::sqrt(std::max(loss, 1.0)), room.p)
               : mouth(gas, f, room, loss, room.p);
}

// ---- Steady flow: the duct's state for which an end's law and its waves are both content. ----

/// Mass flow per area over p0/sqrt(R T0) at a Mach number.
inline double flow_number(const Gas& gas, double mach) {
    const double g = gas.gamma;
    return std::sqrt(g) * mach *
           std::pow(1 + 0.5 * (g - 1) * mach * mach, -0.5 * (g + 1) / (g - 1));
}

/// Mach number of the duct before an opening of `ratio` of its area at p/p0 behind it.
inline double mach_before(const Gas& gas, double ratio, double pressure_ratio) {
    const double wanted = orifice(gas, ratio, 1, 1, pressure_ratio);
    if (wanted >= flow_number(gas, 1)) {
        return 1;
    }
    return bisect([&](double m) { return flow_number(gas, m) - wanted; }, 0, 1);
}

/// Duct behind an opening of `ratio` of its area from rest; `p` the pressure far down the duct.
/// Where the duct chokes its end stays at Mach 1, at a pressure above p.
inline Duct steady_behind(const Gas& gas, double ratio, const Reservoir& s, double p, double area) {
    const auto g = [&](double x) { return orifice(gas, ratio, s.p, s.rt, x); };
    const double a = gas.sonic(s.h);
    const double floor = bisect([&](double x) { return g(x) * a / gas.gamma - x; }, 0, s.p);
    const double pressure = std::max(p, floor);
    return entered(gas, g(pressure), s.h, pressure, area);
}

/// Straight or tapered runner without friction from a mouth with entry loss to a valve: air at
/// rest p0, rt0; mouth area, area at the valve, effective valve area, cylinder pressure. Mass flow
/// of the steady state [kg/s]; the smaller of what the valve, the valve's end and the mouth pass.
struct Runner {
    double mouth_area, valve_area, effective, entry_loss;
};
inline double runner_flow(const Gas& gas, const Runner& r, double p0, double rt0, double p_c) {
    const double h0 = rt0 / gas.k();
    // Total pressure behind the mouth falls with its velocity w; so does what the valve asks for.
    const auto behind = [&](double w) { return entry_state(gas, p0, h0, r.entry_loss, w, 1); };
    const auto excess = [&](double w) {
        const Duct m = behind(w);
        const double total = total_pressure(gas, m);
        const double valve = orifice(gas, std::min(r.effective, r.valve_area), total, rt0, p_c);
        return m.rho * w * r.mouth_area - valve;
    };
    const double most = gas.sonic(h0);
    const double w = excess(most) <= 0 ? most : bisect(excess, 0, most);
    return behind(w).rho * w * r.mouth_area;
}

}  // namespace plenair::reference

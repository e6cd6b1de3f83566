#pragma once

#include "solver/arithmetic/polynomial.hpp"
#include "solver/arithmetic/real.hpp"

/// Steady and wave relations of a perfect gas in a duct, without power functions in the inner loop:
/// what the laws at the ends of ducts share. d = (gamma - 1)/2 throughout.
namespace plenair::laws {

/// Largest velocity through a simple wave, over the speed of sound before it, that the relations
/// follow; beyond it they keep their last value.
inline constexpr double strongest_wave = 2.0;

/// Relations of one gamma, each a polynomial within 1e-8 of its definition for gamma 1.3 to 1.5.
/// C is a number or a pack, P<n> a polynomial of degree n of such numbers.
/// @source Thompson P. A. 1972, Compressible-Fluid Dynamics, ch. 2 and 8 (isentropic flow, simple
/// waves), from memory; NACA Report 1135 (1953), eqs. 43-44, 80 (isentropic flow).
/// theory T13, T14
template <class C, template <std::size_t> class P>
struct DuctLaw {
    static constexpr std::size_t flow_degree = 9, wave_degree = 9, head_degree = 5;

    C choked_flow{};  ///< flow function m sqrt(R T0)/(A p0) at Mach 1
    C sonic_x{};  ///< w^2/(2 h0) at Mach 1
    C sonic_fall{};  ///< 1 - p0/p_closed of a stream that a wave draws off to Mach 1
    P<flow_degree> mach_of_flow{};  ///< M/s over s^2, s = n/(1 + sqrt(1 - n^2)), n = D(M)/D(1)
    P<wave_degree> wave{};  ///< (1 + d v)^(2 gamma/(gamma - 1))
    P<head_degree> rise{};  ///< p0/p over M^2 up to 1
    P<head_degree> fall{};  ///< p/p0 over w^2/(2 h0) up to Mach 1
    P<head_degree> supersonic{};  ///< D(M)/D(1), Mach 1 to 2

    /// Pressure behind a simple wave that changes the velocity by `v`, in units of the speed of
    /// sound before it and positive where it compresses, over the pressure before it.
    template <class R>
    [[nodiscard]] R wave_pressure(R v) const {
        return wave(within_waves(v));
    }
    template <class R>
    [[nodiscard]] static R within_waves(R v) {
        using arithmetic::max;
        using arithmetic::min;
        return max(min(v, R(strongest_wave)), R(-strongest_wave));
    }
};

template <std::size_t Degree>
using DuctPolynomial = arithmetic::Polynomial<Degree>;

/// The relations of one gas.
struct DuctFlow : DuctLaw<double, DuctPolynomial> {
    DuctFlow() = default;  ///< not fitted: to be assigned
    explicit DuctFlow(double gamma);
};

/// Subsonic Mach number of a flow function, by bisection; for fits and tests.
[[nodiscard]] inline double mach_of_flow_function(double flow, double gamma) {
    const double d = 0.5 * (gamma - 1.0);
    // In the distance from Mach 1, where the flow function has its flat top.
    double low = 0.0;
    double high = 1.0;
    for (int i = 0; i < 60; ++i) {
        const double m = 0.5 * (low + high);
        const double at = arithmetic::sqrt(gamma) * m *
                          arithmetic::pow(1.0 + d * m * m, -0.25 * (gamma + 1.0) / d);
        (at < flow ? low : high) = m;
    }
    return 0.5 * (low + high);
}

inline DuctFlow::DuctFlow(double gamma) {
    PLENAIR_EXPECT(gamma > 1.0);
    const double d = 0.5 * (gamma - 1.0);
    const double power = gamma / (gamma - 1.0);
    const double top =
        arithmetic::sqrt(gamma) * arithmetic::pow(1.0 + d, -0.25 * (gamma + 1.0) / d);
    choked_flow = top;
    sonic_x = (gamma - 1.0) / (gamma + 1.0);
    // n = 2 s/(1 + s^2) unfolds the flat tops at Mach 1 and -1: M is a smooth, odd function of s.
    mach_of_flow = arithmetic::fit_chebyshev<flow_degree>(
        [top, gamma](double square) {
            const double s = arithmetic::sqrt(square);
            return mach_of_flow_function(2.0 * s / (1.0 + square) * top, gamma) / s;
        },
        0.0,
        1.0);
    wave = arithmetic::fit_chebyshev<wave_degree>(
        [d, power](double v) { return arithmetic::pow(1.0 + d * v, 2.0 * power); },
        -strongest_wave,
        strongest_wave);
    rise = arithmetic::fit_chebyshev<head_degree>(
        [d, power](double square) { return arithmetic::pow(1.0 + d * square, power); }, 0.0, 1.0);
    fall = arithmetic::fit_chebyshev<head_degree>(
        [power](double x) { return arithmetic::pow(1.0 - x, power); }, 0.0, sonic_x);
    supersonic = arithmetic::fit_chebyshev<head_degree>(
        [d, gamma, top](double m) {
            return arithmetic::sqrt(gamma) * m *
                   arithmetic::pow(1.0 + d * m * m, -0.25 * (gamma + 1.0) / d) / top;
        },
        1.0,
        2.0);
    sonic_fall = 1.0 - rise(1.0) / wave(1.0);
}

}  // namespace plenair::laws

#pragma once

#include "solver/arithmetic/polynomial.hpp"
#include "solver/arithmetic/real.hpp"

/// Ideal flow of a perfect gas through an opening (Saint-Venant and Wantzel 1839; Heywood 1988,
/// app. C): mdot = Cd A p1/sqrt(R T1) psi(r), r = p2/p1, p1 and T1 total upstream.
/// theory T16
namespace plenair::laws {

/// Pressure ratio below which the opening is choked.
inline double critical_ratio(double gamma) {
    PLENAIR_EXPECT(gamma > 1.0);
    return arithmetic::pow(2.0 / (gamma + 1.0), gamma / (gamma - 1.0));
}

/// psi(r) by its definition; choked below the critical ratio, 0 from r = 1 on.
inline double psi_exact(double r, double gamma) {
    const double ratio = arithmetic::clamp(r, critical_ratio(gamma), 1.0);
    const double drop = 1.0 - arithmetic::pow(ratio, (gamma - 1.0) / gamma);
    return arithmetic::sqrt(2.0 * gamma / (gamma - 1.0) * drop) *
           arithmetic::pow(ratio, 1.0 / gamma);
}

/// psi^2 = x P(x), x = 1 - p2/p1, with P a polynomial made once for one gamma: no power function in
/// the inner loop. P is within 1e-8 of the exact function for gamma 1.2 to 1.67.
/// C is a number or a pack, F a polynomial of such numbers.
template <class C, class F>
struct OrificeLaw {
    C choked_x{};  ///< 1 - critical ratio
    F factor{};

    /// P~(x) with psi^2 = x P~(x) for all x in [0, 1]: beyond choking psi*^2/x.
    template <class R>
    [[nodiscard]] R flow_factor(R x) const {
        using arithmetic::max;
        using arithmetic::min;
        const R inside = max(min(x, R(choked_x)), R(0.0));
        return factor(inside) * (R(choked_x) / max(x, R(choked_x)));
    }
};

/// The law of one gas.
struct OrificeFunction : OrificeLaw<double, arithmetic::Polynomial<8>> {
    double gamma = 1.4;

    OrificeFunction() = default;  ///< not fitted: to be assigned
    explicit OrificeFunction(double gamma_) : gamma(gamma_) {
        choked_x = 1.0 - critical_ratio(gamma_);
        const auto exact = [gamma_](double x) {
            const double psi = psi_exact(1.0 - x, gamma_);
            return psi * psi / x;
        };
        factor = arithmetic::fit_chebyshev<8>(exact, 0.0, choked_x);
    }
};

/// Pressure difference (over the upstream pressure) at which the root near zero becomes a straight
/// line.
inline constexpr double orifice_rounding = 2.5e-5;

/// Mass flow [kg/s] from 1 to 2, negative backwards, through an effective area [m2]; total
/// pressures [Pa] and R T [J/kg] of both sides. Odd under exchange of the sides, monotone, finite
/// slope at zero: sqrt(x) is replaced by x (x^2 + e^2)^(-1/4), 0.06 % lower at x = 5e-4 and less
/// beyond.
template <class Law, class R>
[[nodiscard]] R orifice_mass_flow(const Law& function,
                                  R effective_area,
                                  R p1,
                                  R rt1,
                                  R p2,
                                  R rt2,
                                  double rounding = orifice_rounding) {
    using arithmetic::select;
    using arithmetic::sqrt;
    const auto backward = p2 > p1;
    const R upstream = select(backward, p2, p1);
    const R downstream = select(backward, p1, p2);
    const R rt = select(backward, rt2, rt1);
    const R x = (upstream - downstream) / upstream;
    const R rounded = x / sqrt(sqrt(x * x + R(rounding * rounding)));
    const R flow = effective_area * upstream * rounded * sqrt(function.flow_factor(x) / rt);
    return select(backward, -flow, flow);
}

}  // namespace plenair::laws

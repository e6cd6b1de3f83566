#pragma once

#include "solver/arithmetic/real.hpp"

/// Nusselt number of developed pipe flow. Scatter of the data 20 to 25 %.
namespace plenair::laws {

/// Dittus and Boelter 1930 (heating; in the form of McAdams): 0.023 Re^0.8 Pr^0.4.
inline double dittus_boelter(double re, double prandtl) {
    return 0.023 * arithmetic::pow(re, 0.8) * arithmetic::pow(prandtl, 0.4);
}

/// Colburn 1933: 0.023 Re^0.8 Pr^(1/3).
inline double colburn(double re, double prandtl) {
    return 0.023 * arithmetic::pow(re, 0.8) * arithmetic::pow(prandtl, 1.0 / 3.0);
}

/// Petukhov's Darcy factor of smooth pipes, (0.79 ln Re - 1.64)^-2 (Gnielinski 1976).
inline double petukhov_darcy(double re) {
    const double x = 0.79 * arithmetic::log(re) - 1.64;
    return 1.0 / (x * x);
}

/// Gnielinski, Int. Chem. Eng. 16 (1976) 359, for one Prandtl number and a given Darcy factor;
/// below Re about 2300 the laminar value 3.66 of constant wall temperature holds.
struct Gnielinski {
    double prandtl = 0.71;
    double excess = 0;  ///< Pr^(2/3) - 1

    Gnielinski() : Gnielinski(0.71) {}
    explicit Gnielinski(double prandtl_)
        : prandtl(prandtl_), excess(arithmetic::pow(prandtl_, 2.0 / 3.0) - 1.0) {}

    template <class R>
    [[nodiscard]] R nusselt(R re, R darcy) const {
        using arithmetic::max;
        using arithmetic::min;
        using arithmetic::sqrt;
        // With Pr < 1 the denominator has a pole at a Darcy factor near 1.2, deep in laminar flow,
        // where the law does not hold anyway: the factor is held at 0.1.
        const R eighth = min(darcy, R(0.1)) * R(0.125);
        const R turbulent =
            eighth * (re - R(1000.0)) * R(prandtl) / (R(1.0) + R(12.7 * excess) * sqrt(eighth));
        return max(turbulent, R(3.66));
    }
};

}  // namespace plenair::laws

#pragma once

#include "solver/arithmetic/real.hpp"

/// Nusselt numbers of developed pipe flow by other authors; heat transfer in the cylinder as
/// printed.
namespace plenair::reference {

/// Dittus and Boelter 1930 (heating; in the form of McAdams): 0.023 Re^0.8 Pr^0.4.
inline double dittus_boelter(double re, double prandtl) {
    return 0.023 * arithmetic::pow(re, 0.8) * arithmetic::pow(prandtl, 0.4);
}

/// Colburn 1933: 0.023 Re^0.8 Pr^(1/3).
inline double colburn(double re, double prandtl) {
    return 0.023 * arithmetic::pow(re, 0.8) * arithmetic::pow(prandtl, 1.0 / 3.0);
}

/// Woschni 1967 in the form of Heywood 1988, eq. 12.19: 3.26 B^-0.2 p^0.8 T^-0.55 w^0.8 [W/m2 K] of
/// bore [m], pressure [Pa], temperature [K], gas speed [m/s]; the pressure of the formula is in
/// kPa.
template <class R>
[[nodiscard]] R woschni(R bore, R pressure, R temperature, R speed) {
    using arithmetic::exp;
    using arithmetic::log;
    return R(3.26) * exp(R(-0.2) * log(bore) + R(0.8) * log(R(1e-3) * pressure * speed) -
                         R(0.55) * log(temperature));
}

/// Petukhov's Darcy factor of smooth pipes, (0.79 ln Re - 1.64)^-2 (Gnielinski 1976).
inline double petukhov_darcy(double re) {
    const double x = 0.79 * arithmetic::log(re) - 1.64;
    return 1.0 / (x * x);
}

}  // namespace plenair::reference

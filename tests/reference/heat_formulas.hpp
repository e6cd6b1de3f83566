#pragma once

#include "solver/arithmetic/real.hpp"

/// Nusselt numbers of developed pipe flow by other authors.
namespace plenair::reference {

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

}  // namespace plenair::reference

#pragma once

#include "solver/arithmetic/real.hpp"

/// Darcy friction factors of round pipes by other authors; Re on the bore, `roughness` over the
/// bore.
namespace plenair::reference {

namespace detail {
inline constexpr double log10_of_e = 0.43429448190325182765;
}

inline double laminar_darcy(double re) {
    return 64.0 / re;
}

/// Haaland, J. Fluids Eng. 105 (1983) 89.
inline double haaland(double re, double roughness) {
    const double rough = arithmetic::pow(roughness / 3.7, 1.11);
    const double x = -1.8 * detail::log10_of_e * arithmetic::log(rough + 6.9 / re);
    return 1.0 / (x * x);
}

/// Swamee and Jain, J. Hydraulics Div. ASCE 102 (1976) 657.
inline double swamee_jain(double re, double roughness) {
    const double inside = roughness / 3.7 + 5.74 / arithmetic::pow(re, 0.9);
    const double x = detail::log10_of_e * arithmetic::log(inside);
    return 0.25 / (x * x);
}

/// Churchill, Chem. Eng. 84 (1977) 91; all regimes in one formula.
inline double churchill(double re, double roughness) {
    using arithmetic::pow;
    const double inside = pow(7.0 / re, 0.9) + 0.27 * roughness;
    const double a = pow(-2.457 * arithmetic::log(inside), 16.0);
    const double b = pow(37530.0 / re, 16.0);
    return 8.0 * pow(pow(8.0 / re, 12.0) + pow(a + b, -1.5), 1.0 / 12.0);
}

}  // namespace plenair::reference

#pragma once

#include "solver/arithmetic/real.hpp"

/// Critical flow nozzles, ISO 9300 (constants of the standard from memory); uncertainty 0.3 %.
namespace plenair::reference {

/// Discharge coefficient, toroidal throat, Re of the throat 2.1e4 to 3.2e7.
template <class R>
[[nodiscard]] R toroidal_nozzle(R re) {
    using arithmetic::sqrt;
    return R(0.9959) - R(2.720) / sqrt(re);
}

/// Discharge coefficient, cylindrical throat, Re 3.5e5 to 1.1e7.
inline double cylindrical_nozzle(double re) {
    return 0.9976 - 0.1388 * arithmetic::pow(re, -0.2);
}

}  // namespace plenair::reference

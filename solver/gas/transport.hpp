#pragma once

#include "solver/arithmetic/real.hpp"

namespace plenair::gas {

/// Viscosity of air [Pa s] at T [K]: Sutherland's law, U.S. Standard Atmosphere 1976, eq. (51).
template <class R>
[[nodiscard]] R viscosity(R t) {
    using arithmetic::sqrt;
    return R(1.458e-6) * t * sqrt(t) / (t + R(110.4));
}

/// Thermal conductivity of air [W/m K] at T [K], U.S. Standard Atmosphere 1976, eq. (53).
template <class R>
[[nodiscard]] R conductivity(R t) {
    using arithmetic::exp;
    using arithmetic::sqrt;
    return R(2.64638e-3) * t * sqrt(t) / (t + R(245.4) * exp(R(-12.0 * 2.302585092994046) / t));
}

}  // namespace plenair::gas

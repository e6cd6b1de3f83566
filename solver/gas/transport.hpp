#pragma once

#include "solver/arithmetic/real.hpp"

namespace plenair::gas {

/// Viscosity of air [Pa s] at T [K]: Sutherland's law, U.S. Standard Atmosphere 1976, eq. (51).
/// theory T3
template <class R>
[[nodiscard]] R viscosity(R t) {
    using arithmetic::sqrt;
    return R(1.458e-6) * t * sqrt(t) / (t + R(110.4));
}

}  // namespace plenair::gas

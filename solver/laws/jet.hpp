#pragma once

#include "solver/arithmetic/real.hpp"

namespace plenair::laws {

/// Speed at which the excess momentum of a jet travels along a duct [m/s]: the mean of jet and duct
/// velocity, (u + v)/2. `u` is the duct's mean velocity, `excess` the excess momentum flow over
/// density and section [m2/s2], which for a jet of velocity v is u (v - u). A wave that brings the
/// mean velocity to rest for a moment does not stop the jet: then its own strength rules.
/// theory T10
template <class R>
[[nodiscard]] inline R jet_speed(R u, R excess) {
    using arithmetic::abs;
    using arithmetic::sqrt;
    return abs(u) + 0.5 * excess / sqrt(u * u + 0.5 * excess + 1e-12);
}

}  // namespace plenair::laws

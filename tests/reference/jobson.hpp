#pragma once

#include "solver/arithmetic/real.hpp"

/// Compressible discharge coefficient of a sharp opening by another author.
namespace plenair::reference {

/// Jobson, Proc. IMechE 169 (1955): closed form for a sharp opening, subsonic (r from the critical
/// ratio to below 1), incompressible coefficient up to about 0.7.
inline double jobson(double incompressible, double r, double gamma) {
    const double f = 1.0 / incompressible - 0.5 / (incompressible * incompressible);
    const double x = arithmetic::pow(r, 1.0 / gamma);
    const double drop = 1.0 - arithmetic::pow(r, (gamma - 1.0) / gamma);
    const double speed_squared = 2.0 * gamma / (gamma - 1.0) * x * x * drop;
    const double root = arithmetic::sqrt(1.0 - 4.0 * x * x * (1.0 - r) * f / speed_squared);
    return (1.0 - root) / (2.0 * f * x);
}

}  // namespace plenair::reference

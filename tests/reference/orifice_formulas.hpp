#pragma once

#include "solver/arithmetic/real.hpp"

/// Closed forms of nozzle flow.
namespace plenair::reference {

/// psi of choked flow.
inline double choked_psi(double gamma) {
    return arithmetic::sqrt(gamma) *
           arithmetic::pow(2.0 / (gamma + 1.0), 0.5 * (gamma + 1.0) / (gamma - 1.0));
}

}  // namespace plenair::reference

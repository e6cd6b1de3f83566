#pragma once

#include "solver/arithmetic/real.hpp"

/// One-dimensional isentropic flow of a perfect gas (NACA Report 1135, 1953).
namespace plenair::reference {

/// Static over stagnation temperature.
inline double temperature_ratio(double mach, double gamma) {
    return 1.0 / (1.0 + 0.5 * (gamma - 1.0) * mach * mach);
}

/// Static over stagnation pressure.
inline double pressure_ratio(double mach, double gamma) {
    return arithmetic::pow(temperature_ratio(mach, gamma), gamma / (gamma - 1.0));
}

/// Static over stagnation density.
inline double density_ratio(double mach, double gamma) {
    return arithmetic::pow(temperature_ratio(mach, gamma), 1.0 / (gamma - 1.0));
}

/// Area over that of the sonic throat.
inline double area_ratio(double mach, double gamma) {
    const double base = 2.0 / (gamma + 1.0) / temperature_ratio(mach, gamma);
    return arithmetic::pow(base, 0.5 * (gamma + 1.0) / (gamma - 1.0)) / mach;
}

/// Mach number of a static over stagnation pressure up to 1.
inline double mach_of_pressure_ratio(double ratio, double gamma) {
    const double temperature = arithmetic::pow(ratio, -(gamma - 1.0) / gamma);
    return arithmetic::sqrt(2.0 / (gamma - 1.0) * (temperature - 1.0));
}

}  // namespace plenair::reference

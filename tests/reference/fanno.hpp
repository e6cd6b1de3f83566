#pragma once

#include "solver/arithmetic/real.hpp"

/// Adiabatic flow with friction in a pipe of constant bore (Shapiro 1953, ch. 6); Darcy factor.
namespace plenair::reference {

/// f L*/D that brings the flow from this Mach number to 1.
inline double fanno_length(double mach, double gamma) {
    const double m2 = mach * mach;
    const double sum = 0.5 * (gamma + 1.0) * m2 / (1.0 + 0.5 * (gamma - 1.0) * m2);
    return (1.0 - m2) / (gamma * m2) + 0.5 * (gamma + 1.0) / gamma * arithmetic::log(sum);
}

/// Stagnation pressure over that at Mach 1.
inline double fanno_stagnation_pressure(double mach, double gamma) {
    const double base = 2.0 / (gamma + 1.0) * (1.0 + 0.5 * (gamma - 1.0) * mach * mach);
    return arithmetic::pow(base, 0.5 * (gamma + 1.0) / (gamma - 1.0)) / mach;
}

/// Static pressure over that at Mach 1.
inline double fanno_pressure(double mach, double gamma) {
    const double base = 0.5 * (gamma + 1.0) / (1.0 + 0.5 * (gamma - 1.0) * mach * mach);
    return arithmetic::sqrt(base) / mach;
}

/// Subsonic Mach number with this f L*/D ahead of it (0 gives 1), by halving.
inline double fanno_mach(double length, double gamma) {
    double low = 1e-6;
    double high = 1.0;
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (low + high);
        const bool longer = fanno_length(middle, gamma) > length;
        low = longer ? middle : low;
        high = longer ? high : middle;
    }
    return 0.5 * (low + high);
}

}  // namespace plenair::reference

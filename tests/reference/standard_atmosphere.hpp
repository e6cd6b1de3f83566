#pragma once

#include "solver/arithmetic/real.hpp"

namespace plenair::reference {

/// Still air at one geopotential height.
struct Atmosphere {
    double temperature;  ///< [K]
    double pressure;  ///< [Pa]
    double density;  ///< [kg/m3]
    double sound_speed;  ///< [m/s]
};

/// U.S. Standard Atmosphere 1976, troposphere: height 0 to 11 km (held outside -2 to 11 km), with
/// the standard's own gas constant 8.31432 J/mol K.
inline Atmosphere standard_atmosphere(double height) {
    constexpr double gas_constant = 8.31432 / 28.9644e-3;
    constexpr double lapse = 6.5e-3;
    constexpr double exponent = 9.80665 / (gas_constant * lapse);
    const double inside = arithmetic::clamp(height, -2000.0, 11000.0);
    Atmosphere air{};
    air.temperature = 288.15 - lapse * inside;
    air.pressure = 101325.0 * arithmetic::pow(air.temperature / 288.15, exponent);
    air.density = air.pressure / (gas_constant * air.temperature);
    air.sound_speed = arithmetic::sqrt(1.4 * gas_constant * air.temperature);
    return air;
}

/// Thermal conductivity of air [W/m K] at T [K], U.S. Standard Atmosphere 1976, eq. (53).
inline double conductivity(double t) {
    const double root = t * arithmetic::sqrt(t);
    return 2.64638e-3 * root / (t + 245.4 * arithmetic::exp(-12.0 * 2.302585092994046 / t));
}

}  // namespace plenair::reference

#pragma once

#include <array>
#include <cstddef>

#include "solver/arithmetic/real.hpp"
#include "solver/arithmetic/table.hpp"

/// Second opinions on the coefficient of a thick sharp opening; lengths over the hydraulic
/// diameter.
namespace plenair::reference {

/// Total loss on the velocity in the opening, thick wall between large chambers (Idelchik 1986,
/// Diagram 4-18) without the friction term; held beyond thickness 2.
inline double idelchik_thick_loss(double thickness) {
    constexpr std::array<double, 11> at = {0.0, 0.2, 0.4, 0.6, 0.8, 1.0, 1.2, 1.4, 1.6, 1.8, 2.0};
    constexpr std::array<double, 11> zeta = {
        2.85, 2.72, 2.60, 2.34, 1.95, 1.76, 1.67, 1.62, 1.60, 1.58, 1.55};
    return arithmetic::linear_table(at, zeta, thickness);
}

/// Coefficient of the same opening; `darcy` adds the friction of the land.
inline double idelchik_thick(double thickness, double darcy = 0.0) {
    return 1.0 / arithmetic::sqrt(idelchik_thick_loss(thickness) + darcy * thickness);
}

/// Rennels and Hudson 2012, thick orifice; `beta` bore over pipe bore, 0 between large chambers.
/// The loss holds the exit head already, so Cd = zeta^(-1/2).
inline double rennels_thick(double thickness, double beta = 0.0) {
    const double x = arithmetic::min(thickness / 1.4, 1.0);
    const double base = arithmetic::max(1.0 - 0.5 * arithmetic::pow(x, 2.5) - 0.5 * x * x * x, 0.0);
    const double thin = arithmetic::pow(base, 4.5);
    const double jet = 1.622 - beta * beta;
    const double step = 1.0 - beta * beta;
    const double zeta = 0.183 + thin * jet * jet + (1.0 - thin) * (0.387 + step * step);
    return 1.0 / arithmetic::sqrt(zeta);
}

/// Factor tau of the thick orifice in a duct (Idelchik, Diagram 4-15), by formula.
inline double idelchik_thick_factor(double thickness) {
    const double t2 = thickness * thickness;
    const double t8 = t2 * t2 * t2 * t2;
    const double power = 0.25 + 0.535 * t8 / (0.05 + t8);
    return arithmetic::max(2.4 - thickness, 0.0) * arithmetic::exp(-2.30258509299404568402 * power);
}

/// Loss of a thick orifice in a duct on the velocity in the DUCT (Idelchik, Diagram 4-15); `ratio`
/// opening over duct area.
inline double idelchik_duct_orifice(double ratio, double thickness, double darcy) {
    using arithmetic::pow;
    const double rest = 1.0 - ratio;
    const double zeta = 0.5 * pow(rest, 0.75) +
                        idelchik_thick_factor(thickness) * pow(rest, 1.375) + rest * rest +
                        darcy * thickness;
    return zeta / (ratio * ratio);
}

enum class Chamfer { degrees_30, degrees_45 };

/// Gain of a chamfered inlet, Cd over that of the sharp hole (Hay and Spencer, ASME 91-GT-269,
/// 1991); `length` of the hole over its bore 0.25 to 2, `pressure_ratio` up- over downstream 1.2
/// to 2.2.
inline double chamfer_gain(double length, double pressure_ratio, Chamfer chamfer) {
    using Row = std::array<double, 3>;
    constexpr std::array<double, 4> lengths = {0.25, 0.5, 1.0, 2.0};
    constexpr Row ratios = {1.2, 1.6, 2.2};
    constexpr std::array<Row, 4> at30 = {
        {{1.45, 1.31, 1.24}, {1.35, 1.28, 1.21}, {1.23, 1.19, 1.13}, {1.20, 1.18, 1.10}}};
    constexpr std::array<Row, 4> at45 = {
        {{1.19, 1.19, 1.16}, {1.23, 1.19, 1.13}, {1.14, 1.11, 1.07}, {1.11, 1.09, 1.03}}};
    std::array<double, 4> along{};
    for (std::size_t i = 0; i < along.size(); ++i)
        along[i] = arithmetic::linear_table(
            ratios, chamfer == Chamfer::degrees_30 ? at30[i] : at45[i], pressure_ratio);
    return arithmetic::linear_table(lengths, along, length);
}

}  // namespace plenair::reference

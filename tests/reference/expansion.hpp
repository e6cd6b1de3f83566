#pragma once

#include <array>
#include <cstddef>

#include "solver/arithmetic/real.hpp"
#include "solver/arithmetic/table.hpp"

/// Total-pressure loss of area changes, on the velocity head in the smaller area.
namespace plenair::reference {

/// Borda-Carnot, abrupt expansion; `ratio` small over large area.
template <class R>
[[nodiscard]] R borda_carnot(R ratio) {
    const R drop = R(1.0) - ratio;
    return drop * drop;
}

/// Static pressure rise of the abrupt expansion on the velocity head in the small area.
template <class R>
[[nodiscard]] R borda_carnot_recovery(R ratio) {
    return R(2.0) * ratio * (R(1.0) - ratio);
}

/// Sharp contraction, 0.5 (1 - n)^(3/4), n small over large area (Idelchik 1986, Diagram 3-9).
inline double contraction_loss(double ratio) {
    return 0.5 * arithmetic::pow(arithmetic::max(1.0 - ratio, 0.0), 0.75);
}

inline constexpr std::array<double, 9> contraction_ratio = {
    0.02, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8};
inline constexpr std::array<double, 4> contraction_radius = {0.0, 0.02, 0.06, 0.10};
/// Chart of Miller 1990, digitised; rows by inlet radius over the small bore.
inline constexpr std::array<std::array<double, 9>, 4> contraction_chart = {{
    {0.493, 0.470, 0.441, 0.409, 0.368, 0.318, 0.249, 0.166, 0.082},
    {0.370, 0.351, 0.323, 0.289, 0.251, 0.209, 0.162, 0.112, 0.057},
    {0.183, 0.179, 0.168, 0.155, 0.136, 0.114, 0.091, 0.065, 0.036},
    {0.087, 0.087, 0.086, 0.082, 0.077, 0.070, 0.059, 0.046, 0.027},
}};

/// Contraction with an inlet radius (over the small bore, up to 0.1), Miller 1990.
inline double rounded_contraction_loss(double ratio, double radius) {
    std::array<double, 4> across{};
    for (std::size_t i = 0; i < across.size(); ++i)
        across[i] = arithmetic::smooth_table(contraction_ratio, contraction_chart[i], ratio);
    return arithmetic::smooth_table(contraction_radius, across, radius);
}

/// Conical diffuser (Idelchik, Diagram 5-5): full cone `angle` [rad], `area_ratio` outlet over
/// inlet, Darcy factor of the wall. The widening term is held at the loss of the abrupt step, which
/// it passes near a full angle of 43 degrees. Charts differ by 25 % below 15 degrees, 15 % above.
inline double cone_loss(double area_ratio, double angle, double darcy) {
    const double half = 0.5 * angle;
    const double sine = arithmetic::sin(half);
    const double tangent = sine / arithmetic::cos(half);
    const double drop = 1.0 - 1.0 / area_ratio;
    const double widening = arithmetic::min(3.2 * arithmetic::pow(tangent, 1.25), 1.0);
    return widening * drop * drop + darcy * (1.0 - 1.0 / (area_ratio * area_ratio)) / (8.0 * sine);
}

}  // namespace plenair::reference

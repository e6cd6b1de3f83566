#pragma once

#include <string>
#include <vector>

namespace plenair {

/// Nitrous oxide as it was measured to flow; how it gets through a jet is not computed.
struct Nitrous {
    std::vector<double> flow;  ///< into each cylinder, or one for all [kg/s]
    std::vector<std::string> points;  ///< names of the points at which it flows; empty: at all
};

/// What nitrous asks of one cylinder at one point: a mass balance of oxygen and fuel, an estimate.
/// theory T56
struct NitrousCylinder {
    int cylinder = 0;
    int firing_position = 0;
    double flow = 0;  ///< nitrous oxide [kg/s]
    double oxygen = 0;  ///< bound in it [kg/s]
    double extra_fuel = 0;  ///< that keeps the point's lambda [kg/s]
    double lambda_without_fuel = 0;  ///< if the extra fuel does not come
    double lambda_nitrous_low = 0;  ///< if this cylinder's nitrous line gives a tenth less
    double lambda_fuel_low = 0;  ///< if its extra fuel line gives a tenth less
};

/// Mass of oxygen bound in a mass of nitrous oxide: M(O) / M(N2O) (standard atomic weights, IUPAC
/// 2021, abridged: O 15.999, N 14.007).
inline constexpr double oxygen_in_nitrous = 15.999 / (15.999 + 2 * 14.007);
/// Mass of oxygen in a mass of dry air (from memory: 0.2314).
inline constexpr double oxygen_in_air = 0.2314;

/// Stoichiometric nitrous-fuel ratio by mass of a fuel of known stoichiometric air-fuel ratio.
[[nodiscard]] double nitrous_stoich(double air_stoich);

/// @param air  into the cylinder [kg/s]
/// @param fuel  that the cylinder gets without nitrous, its trim included [kg/s]
/// @param flow  nitrous oxide [kg/s]
/// @param lambda  target
[[nodiscard]] NitrousCylinder nitrous_into(
    double air, double fuel, double flow, double lambda, double air_stoich);

}  // namespace plenair

#pragma once

namespace plenair::file {

/// Water per dry air by mass [kg/kg] of moist air at a relative humidity (0 to 1).
/// @param temperature  [K]
/// @param pressure     of the moist air [Pa]
/// @source saturation pressure over water: Sonntag, D. (1990), Z. Meteorol. 70, 340-344, eq. 7
[[nodiscard]] double humidity_ratio(double relative, double temperature, double pressure);

/// Gas constant of moist air [J/kg K]; dry air 287.05.
[[nodiscard]] double moist_gas_constant(double ratio);

}  // namespace plenair::file

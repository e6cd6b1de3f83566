#pragma once

#include <optional>
#include <string>

namespace plenair {

/// The fuel as it is metered; what its burning does to the gas stands in Combustion.
struct Fuel {
    std::string name;
    double stoich = 14.6;  ///< stoichiometric air-fuel ratio by mass
    std::optional<double> density;  ///< [kg/m3]
};

}  // namespace plenair

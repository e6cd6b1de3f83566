#pragma once

#include "solver/march/result.hpp"
#include "solver/network/point.hpp"

#include <string>
#include <vector>

namespace plenair {

/// Burned fraction of the charge above which it cannot be counted on to burn: petrol engines
/// tolerate 20 to 30 % of residual and recirculated gas.
/// @source Heywood J. B. 1988, Internal Combustion Engine Fundamentals, sec. 9.4 (from memory)
inline constexpr double largest_dilution = 0.30;
/// Volumetric efficiency below which an engine does not keep itself running: less than at idle,
/// where it is 0.2 to 0.3 (common practice).
inline constexpr double least_efficiency = 0.20;

/// What makes a periodic state no cycle of a running engine: charges diluted beyond burning, air
/// that flows back on the whole, hardly any air. One sentence each, for the notes of a point whose
/// air is filled in; none for a sound one.
[[nodiscard]] std::vector<std::string> not_an_engine(const PointResult& result,
                                                     const Combustion& combustion);

}  // namespace plenair

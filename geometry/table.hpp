#pragma once

#include "geometry/intake.hpp"

namespace plenair::geometry {

/// Discharge coefficient at an abscissa: linear between entries, the first and last entry held
/// outside them.
/// @throws std::invalid_argument if the table is empty or its columns differ in length
[[nodiscard]] double interpolate(const CdTable& table, double abscissa);

}  // namespace plenair::geometry

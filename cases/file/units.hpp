#pragma once

#include "cases/file/toml_names.hpp"
#include "geometry/output_units.hpp"

namespace plenair::file {

/// The units that people read a case in: those that most of its lengths and areas are written in,
/// or what `case.units` says. A case that uses both equally often is read in metric units.
[[nodiscard]] geometry::OutputUnits units_of(const toml::table& table);

}  // namespace plenair::file

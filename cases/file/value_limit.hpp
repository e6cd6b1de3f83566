#pragma once

#include "cases/file/key.hpp"
#include "geometry/output_units.hpp"

#include <optional>
#include <string>

namespace plenair::file {

/// What the limits of a key say against a number, with the remedy; nothing where it keeps them.
/// @param written  the entry as it was written
/// @param number  in SI units
/// @param units  in which bounds and examples are shown
[[nodiscard]] std::optional<std::string> limit_fault(const Key& key,
                                                     const std::string& written,
                                                     double number,
                                                     const geometry::OutputUnits& units);

}  // namespace plenair::file

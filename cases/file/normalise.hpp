#pragma once

#include "cases/file/document.hpp"

#include <string>
#include <vector>

namespace plenair::file {

/// Value of an entry in both systems of units, that of the case first: "6 mm (0.2362 in)".
[[nodiscard]] std::string normalised(const Value& value, const geometry::OutputUnits& units);
/// Every entry in both systems of units, that of the case first: "slot.width = 6 mm (0.2362 in)",
/// in file order.
[[nodiscard]] std::vector<std::string> echo(const Scope& root, const geometry::OutputUnits& units);

/// "sha256:..." of all entries in SI, sorted by key: the same for "6 mm" and "0.6 cm", and for
/// every `case.units`.
[[nodiscard]] std::string digest(const Scope& root);

}  // namespace plenair::file

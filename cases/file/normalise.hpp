#pragma once

#include "cases/file/document.hpp"

#include <string>
#include <vector>

namespace plenair::file {

/// Value of an entry in both unit systems: "6 mm (0.2362 in)".
[[nodiscard]] std::string normalised(const Value& value);

/// Every entry in SI and in both unit systems: "slot.width = 6 mm (0.2362 in)", in file order.
[[nodiscard]] std::vector<std::string> echo(const Scope& root);

/// "sha256:..." of all entries in SI, sorted by key: the same for "6 mm" and "0.6 cm".
[[nodiscard]] std::string digest(const Scope& root);

}  // namespace plenair::file

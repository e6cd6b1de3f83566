#pragma once

#include "cases/study/overview.hpp"

#include <string>

namespace plenair {

/// What an HDF5 file of plenair holds: "plenair.solve", "plenair.bench", "plenair.sweep".
/// @throws ReadError  where it cannot be read or is none
[[nodiscard]] std::string results_format(const std::string& path);

/// The variants of a sweep, from the file that `sweep -o` or `gather` wrote.
/// @throws ReadError  where the file cannot be read, is no sweep, or has another format version
[[nodiscard]] Overview read_sweep(const std::string& path);

}  // namespace plenair

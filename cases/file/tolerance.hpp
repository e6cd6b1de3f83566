#pragma once

#include "cases/study/tolerance.hpp"

#include <string>
#include <vector>

namespace plenair {

/// Reads a case file and its [tolerance]; without that section every dimension has its default.
/// @param sets  overrides "key=value", as after --set
/// @throws InputError with every message, in file order; where the case has no engine or no point
/// @throws ReadError  where the file cannot be opened
[[nodiscard]] TolerancePlan read_tolerance(const std::string& path,
                                           const std::vector<std::string>& sets);

}  // namespace plenair

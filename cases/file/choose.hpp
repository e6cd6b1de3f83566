#pragma once

#include "cases/study/choose.hpp"

#include <string>
#include <vector>

namespace plenair {

/// Reads a case file and its [choose].
/// @param sets  overrides "key=value", as after --set
/// @throws InputError with every message, in file order; where the case has neither points nor a
/// bench, or no [choose]
/// @throws ReadError  where the file cannot be opened
[[nodiscard]] ChoosePlan read_choose(const std::string& path, const std::vector<std::string>& sets);

}  // namespace plenair

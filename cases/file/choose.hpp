#pragma once

#include "cases/study/choose.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace plenair {

/// A case and its [choose].
/// @param text  of the case file
/// @param path  its name, for messages
/// @param sets  overrides "key=value", as after --set
/// @throws InputError with every message, in file order; where the case has neither points nor a
/// bench, or no [choose]
[[nodiscard]] ChoosePlan parse_choose(std::string_view text,
                                      std::string path,
                                      const std::vector<std::string>& sets);

/// The same of a file.
/// @throws ReadError  where the file cannot be opened
[[nodiscard]] ChoosePlan read_choose(const std::string& path, const std::vector<std::string>& sets);

}  // namespace plenair

#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace plenair {

/// Checks what a case asks of `sweep`, `choose` and `tolerance` as these verbs would read it: each
/// of [sweep], [choose] and [tolerance] that the case has. How many variants are too many is left
/// to `sweep`, which can be told.
/// @param text, path, sets  as of parse_case
/// @throws InputError with every message, section by section
void check_plans(std::string_view text,
                 const std::string& path,
                 const std::vector<std::string>& sets);

}  // namespace plenair

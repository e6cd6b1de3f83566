#pragma once

#include "cases/study/case.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace plenair {

/// A case as parse_case reads it, and the plans that may stand beside it checked: [sweep],
/// [choose], [tolerance], [transient] and [response], each as its own verb would read it, where the
/// file has it. The number of variants of [sweep] has no limit here; each run of sweep has its own.
/// @throws InputError with every message: of the case, or where that is right of its plans, in the
/// order of the file
[[nodiscard]] Case parse_with_plans(std::string_view text,
                                    const std::string& path,
                                    const std::vector<std::string>& sets);

}  // namespace plenair

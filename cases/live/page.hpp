#pragma once

#include "cases/report/html.hpp"

#include <optional>

namespace plenair {

/// What the script of a report's working model must know: the case text, the entries that may be
/// moved with their limits, and the stored figures of every point, drawn as the moved ones will be.
/// @param target  spread that the page begins to ask for [-]
/// @return  nothing where the source has no case, no entry that can be moved, or no point that
/// converged
[[nodiscard]] std::optional<LivePage> live_page(const ReportSource& source, double target);

}  // namespace plenair

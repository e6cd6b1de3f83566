#pragma once

#include "cases/report/html.hpp"
#include "cases/study/overview.hpp"

#include <string>

namespace plenair {

/// A page on many variants: loss against spread with the front, a ranking, a parallel view of the
/// entries, and the entries of a chosen variant as --set options. Without any outside address.
[[nodiscard]] std::string html_text(const Overview& overview, const ReportOptions& options);

}  // namespace plenair

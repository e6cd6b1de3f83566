#pragma once

#include "cases/report/terminal/paint.hpp"
#include "cases/study/solve_result.hpp"

#include <string>

namespace plenair {

/// Curves over speed: a line a speed with the bias of each cylinder, then the worst speed; empty
/// where the result has none.
[[nodiscard]] std::string curve_tables(const SolveResult& result, const Paint& paint);

}  // namespace plenair

#pragma once

#include "cases/study/bench.hpp"
#include "cases/study/check.hpp"
#include "cases/study/solve_result.hpp"
#include "cases/study/trim.hpp"

#include <string>

namespace plenair {

/// Result as text for a terminal, in trade units, closed by a line end. One table a point:
/// air of each cylinder, then flow, losses, spread, band and balances; one sentence; model limits
/// and cautions. A point that did not converge shows its failure and no shares.
/// @param colour  with ANSI colours
[[nodiscard]] std::string terminal_text(const SolveResult& result, bool colour);
/// Table of set-ups, then the runners and the slot of each.
[[nodiscard]] std::string terminal_text(const BenchStudyResult& result, bool colour);
/// Derived numbers of the case and its entries as they were understood.
[[nodiscard]] std::string terminal_text(const CheckResult& result, bool colour);
/// One table a point: bias, trim, multiplier and lambda of each cylinder, and the duty of the
/// injectors; then the trims over speed and load, what fixed trims cost, and warnings.
[[nodiscard]] std::string terminal_text(const TrimResult& result, bool colour);

}  // namespace plenair

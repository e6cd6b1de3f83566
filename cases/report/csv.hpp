#pragma once

#include "cases/study/bench.hpp"
#include "cases/study/solve_result.hpp"
#include "cases/study/trim.hpp"

#include <string>

namespace plenair {

/// Result as comma-separated values (RFC 4180, lines end in LF), units in the column names, SI,
/// numbers that read back to the same bits; every row carries case digest and program version.
/// One row per point and cylinder; what is not known is an empty cell.
[[nodiscard]] std::string csv_text(const SolveResult& result);
/// One row per set-up and runner; one row for a set-up without runners.
[[nodiscard]] std::string csv_text(const BenchStudyResult& result);
/// One row per point and cylinder, then one per place of the map and cylinder.
[[nodiscard]] std::string csv_text(const TrimResult& result);

}  // namespace plenair

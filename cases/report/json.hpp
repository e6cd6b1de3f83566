#pragma once

#include "cases/study/bench.hpp"
#include "cases/study/check.hpp"
#include "cases/study/solve_result.hpp"
#include "cases/study/trim.hpp"

#include <string>

namespace plenair {

/// Result as JSON (RFC 8259), SI units in the names; docs/results-file.md lists every field.
/// Numbers read back to the same bits; what is not known is null or absent, never NaN. A point that
/// did not converge has "failure" and no shares, biases or air of its cylinders.
/// "plenair.solve/1"
[[nodiscard]] std::string json_text(const SolveResult& result);
/// "plenair.bench/1"
[[nodiscard]] std::string json_text(const BenchStudyResult& result);
/// "plenair.check/1"
[[nodiscard]] std::string json_text(const CheckResult& result);
/// "plenair.trim/1"
[[nodiscard]] std::string json_text(const TrimResult& result);

}  // namespace plenair

#pragma once

#include "cases/study/difference.hpp"

#include <string>

namespace plenair {

/// Two results: entries that differ, then the numbers that moved by more than 0.1 %, point by
/// point; model limits and cautions.
/// @param colour  with ANSI colours
[[nodiscard]] std::string terminal_text(const DifferenceResult& result, bool colour);
/// "plenair.difference/1"; docs/results-file.md lists every field.
[[nodiscard]] std::string json_text(const DifferenceResult& result);
/// One row per entry that differs (before and after as text), then one per number that moved.
[[nodiscard]] std::string csv_text(const DifferenceResult& result);

}  // namespace plenair

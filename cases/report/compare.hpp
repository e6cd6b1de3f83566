#pragma once

#include "cases/study/compare.hpp"

#include <string>

namespace plenair {

/// Values side by side: over the points with a plot of spread against slot loss, then point by
/// point, then what follows from it in sentences; model limits and cautions.
/// @param colour  with ANSI colours
[[nodiscard]] std::string terminal_text(const CompareResult& result, bool colour);
/// "plenair.compare/1"; docs/results-file.md lists every field.
[[nodiscard]] std::string json_text(const CompareResult& result);
/// Point by point one row per value, then one without slot (its value is empty); last the rows over
/// the points (their point is empty).
[[nodiscard]] std::string csv_text(const CompareResult& result);

}  // namespace plenair

#pragma once

#include "cases/study/tolerance.hpp"

#include <string>

namespace plenair {

/// What follows in sentences, what each tolerance costs, the worst corner; model limits, cautions.
/// @param colour  with ANSI colours
[[nodiscard]] std::string terminal_text(const ToleranceResult& result, bool colour);
/// "plenair.tolerance/1"; docs/results-file.md lists every field.
[[nodiscard]] std::string json_text(const ToleranceResult& result);
/// A row an input.
[[nodiscard]] std::string csv_text(const ToleranceResult& result);

}  // namespace plenair

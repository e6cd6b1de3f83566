#pragma once

#include "cases/study/unsteady.hpp"

#include <string>

namespace plenair {

/// Each series from start to end with its extremes; books, model limits, cautions.
/// @param colour  with ANSI colours
[[nodiscard]] std::string terminal_text(const TransientStudyResult& result, bool colour);
/// "plenair.transient/1"; docs/results-file.md lists every field.
[[nodiscard]] std::string json_text(const TransientStudyResult& result);
/// A row a time, a column a series, units in the names.
[[nodiscard]] std::string csv_text(const TransientStudyResult& result);

/// Peaks over frequency of every pressure.
[[nodiscard]] std::string terminal_text(const ResponseStudyResult& result, bool colour);
/// "plenair.response/1"; docs/results-file.md lists every field.
[[nodiscard]] std::string json_text(const ResponseStudyResult& result);
/// A row a frequency, of each series its amplitude and phase.
[[nodiscard]] std::string csv_text(const ResponseStudyResult& result);

}  // namespace plenair

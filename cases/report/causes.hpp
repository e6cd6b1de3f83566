#pragma once

#include "cases/study/causes.hpp"

#include <string>

namespace plenair {

/// Parts of each cylinder's bias by cause, at every point; what each switch does.
/// @param colour  with ANSI colours
[[nodiscard]] std::string terminal_text(const CausesResult& result, bool colour);
/// "plenair.causes/1"; docs/results-file.md lists every field.
[[nodiscard]] std::string json_text(const CausesResult& result);
/// A row a point, cause and cylinder.
[[nodiscard]] std::string csv_text(const CausesResult& result);

}  // namespace plenair

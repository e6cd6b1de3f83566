#pragma once

#include "cases/study/choose.hpp"

#include <string>

namespace plenair {

/// The answer in sentences, dimensions before and after, limits, what a shop step does, every point
/// before and after, the front; model limits and cautions.
/// @param colour  with ANSI colours
[[nodiscard]] std::string terminal_text(const ChooseResult& result, bool colour);
/// "plenair.choose/1"; docs/results-file.md lists every field.
[[nodiscard]] std::string json_text(const ChooseResult& result);
/// A row a number: present, chosen, bounds, step, what a step does.
[[nodiscard]] std::string csv_text(const ChooseResult& result);

}  // namespace plenair

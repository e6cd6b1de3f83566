#pragma once

#include "cases/study/choose.hpp"
#include "cases/study/choose_goal.hpp"

#include <string>
#include <vector>

/// What a choice means, in sentences.
namespace plenair::study {

/// "4.8 kPa", "1.93 %", "352.1 g/s"
[[nodiscard]] std::string shown(const ChooseLimit& limit, double value);
/// Name of what was made best, "worst spread".
[[nodiscard]] std::string name_of(Aim aim);
/// "5.8 mm"
[[nodiscard]] std::string with_unit(double value, const FreeNumber& number);
/// Fills `sentences` of a result that is otherwise complete.
void add_sentences(const ChoosePlan& plan, ChooseResult& result);

}  // namespace plenair::study

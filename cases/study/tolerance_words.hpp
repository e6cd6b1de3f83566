#pragma once

#include "cases/study/tolerance.hpp"

namespace plenair::study {

/// Fills `sentences` of a result that is otherwise complete.
void add_sentences(ToleranceResult& result);

}  // namespace plenair::study

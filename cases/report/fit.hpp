#pragma once

#include "cases/study/fit.hpp"

#include <string>

namespace plenair {

[[nodiscard]] std::string terminal_text(const FitResult& result, bool colour);
[[nodiscard]] std::string json_text(const FitResult& result);

}  // namespace plenair

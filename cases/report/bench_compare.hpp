#pragma once

#include "cases/study/bench_compare.hpp"

#include <string>

namespace plenair {

[[nodiscard]] std::string terminal_text(const BenchComparison& result, bool colour);
[[nodiscard]] std::string json_text(const BenchComparison& result);
[[nodiscard]] std::string csv_text(const BenchComparison& result);

}  // namespace plenair

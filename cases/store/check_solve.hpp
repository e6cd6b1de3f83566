#pragma once

#include "cases/study/solve_result.hpp"

#include <string>

namespace plenair {

/// Whether what was read from a file fits together, so that whoever reads the result may rely on
/// it: finite numbers, each cylinder once and the same ones at every point, columns of equal
/// length, banks of cylinders that there are. A file that an editor or another program changed may
/// hold anything.
/// @throws ReadError  naming the file, the point and what does not fit
void expect_fitting(const SolveResult& result, const std::string& path);

}  // namespace plenair

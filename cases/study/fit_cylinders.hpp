#pragma once

#include "cases/study/fit_air.hpp"

namespace plenair::study {

/// Faults of single cylinders, most probable first; all that were named.
void add_faults(const FinishedFit& fit, FitResult& result);
/// What lambda of each cylinder is made of.
void add_splits(const FinishedFit& fit, FitResult& result);
/// New trims of the points where lambda was read.
void add_trims(const FinishedFit& fit, const AirRows& rows, FitResult& result);

}  // namespace plenair::study

#pragma once

#include "cases/study/fit_air.hpp"

namespace plenair::study {

/// What to measure next, most worth first: of the gauges, sensors and points of the case.
void add_next(const FinishedFit& fit, const AirRows& rows, FitResult& result);

}  // namespace plenair::study

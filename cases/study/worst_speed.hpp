#pragma once

#include "cases/study/study.hpp"

namespace plenair::study {

/// Looks between the steps of a curve for the speed of the largest spread. Steps farther apart than
/// 100 rpm are divided first, for a wave of the intake can rise and fall between them; then every
/// speed that no neighbour tops and that is near the highest is bracketed by its neighbours and
/// refined until it is known to 5 rpm or the spread moves less than 0.05 %.
/// @param result  holds the solved points of the curve
/// @param found  names the curve and its points; receives the rest
/// @source Brent R. P. 1973, Algorithms for Minimization without Derivatives, ch. 5 (Boost.Math)
void find_worst(const Case& c,
                const SpeedCurve& curve,
                const SolveResult& result,
                const SolveOptions& options,
                CurveResult& found);

}  // namespace plenair::study

#pragma once

#include "cases/study/curve.hpp"
#include "cases/study/solve.hpp"
#include "cases/study/solve_points.hpp"

#include <vector>

namespace plenair {
struct Case;
}

namespace plenair::study {

/// Looks between the steps of a curve for the speed of the largest spread. Steps farther apart than
/// 100 rpm are divided first, for a wave of the intake can rise and fall between them; then every
/// speed that no neighbour tops and that is near the highest is bracketed by its neighbours, and
/// their distances are divided by five, side by side, until the next speed is 5 rpm away.
/// @param steps  the solved points of the curve
/// @param found  names the curve and its points; receives the rest
void find_worst(const Case& c,
                const SpeedCurve& curve,
                const std::vector<SolvedPoint>& steps,
                const SolveOptions& options,
                CurveResult& found);

}  // namespace plenair::study

#pragma once

#include "cases/study/reasons.hpp"
#include "solver/march/result.hpp"
#include "solver/network/point.hpp"

namespace plenair {
struct Case;
}

namespace plenair::study {

/// Why one point has its spread, and which drawn dimensions move it: its causes (causes.hpp), and
/// what five percent more of every drawn dimension does to it, all from its own state, side by
/// side.
/// @param nominal  the point, solved
/// @param threads  0: all cores
[[nodiscard]] Reasons find_reasons(const Case& c,
                                   const OperatingPoint& point,
                                   const PointResult& nominal,
                                   int threads);

}  // namespace plenair::study

#pragma once

#include "cases/study/study.hpp"

namespace plenair {

/// Half width of the band of a point's biases from the model's coefficients: each coefficient is
/// moved to both ends of its published band (docs/theory.md), the largest change of any cylinder's
/// bias is taken for each, and these are added as root sum of squares (independent causes). Zero
/// where the point did not converge. [-]
[[nodiscard]] double bias_band(const Case& c,
                               const OperatingPoint& point,
                               const PointResult& nominal);

}  // namespace plenair

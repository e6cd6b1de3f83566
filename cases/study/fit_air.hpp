#pragma once

#include "cases/study/fit_report.hpp"

#include <Eigen/Core>

#include <cstddef>
#include <map>

namespace plenair::study {

/// Derivatives by all unknowns, by point; of those that converged.
struct AirRows {
    std::map<std::size_t, Eigen::MatrixXd> bias;  ///< [cylinder][unknown]
    std::map<std::size_t, Eigen::VectorXd> flow;  ///< of the total air, relative
};

/// Shares of air at all points of the case before and after, with their bands.
[[nodiscard]] AirRows add_air(const FinishedFit& fit, FitResult& result);

}  // namespace plenair::study

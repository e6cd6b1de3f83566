#pragma once

#include "cases/study/fit.hpp"
#include "cases/study/fit_faults.hpp"
#include "cases/study/fit_model.hpp"
#include "cases/study/fit_readings.hpp"
#include "cases/study/least_squares.hpp"

#include <Eigen/Core>

#include <vector>

namespace plenair::study {

/// What a finished fit leaves.
struct FinishedFit {
    const Case& drawn;
    const Measured& measured;
    const AsMade& made;
    const ReadingModel& readings;
    FitModel& model;
    const std::vector<std::size_t>& points;  ///< that were read, of each engine reading
    const LeastSquaresResult& fitted;
    const Eigen::VectorXd& deviation;  ///< of the priors
    const Eigen::VectorXd& before;  ///< residuals at the prior
    const FaultOdds& odds;
    const std::vector<FaultCandidate>& named;
    const Answer& as_made;
    Answer at_fit;  ///< at all points of the case that converged
    std::vector<Answer> slopes;  ///< derivatives of it by each entry

    /// Half width of a linear function of the unknowns, 95 %.
    [[nodiscard]] double half(const Eigen::VectorXd& row) const;
};

/// From a finished fit to its result in the terms of the trade.
[[nodiscard]] FitResult report(const FinishedFit& fit);

}  // namespace plenair::study

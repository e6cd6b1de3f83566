#pragma once

#include "cases/study/fit.hpp"

#include <Eigen/Core>

#include <string>
#include <vector>

namespace plenair::study {

/// A measurement that could be made: derivatives by the unknowns, over its deviation, a row for
/// each of the readings that come together.
struct Candidate {
    std::string what;
    double effort = 1;
    Eigen::MatrixXd rows;
};

/// What should become narrower.
struct Target {
    Eigen::VectorXd row;  ///< derivative by the unknowns
    std::string entry;  ///< empty: a spread
};

/// Ranks candidates by how much of the targets' variance they take away per effort: mean over the
/// spreads, and the entry that gains most among those that cannot be told apart. Readings with
/// deviation 1, independent, and derivatives H take g'C H' (1 + H C H')^-1 H C g from the variance
/// of g'x.
[[nodiscard]] std::vector<NextMeasurement> rank_next(const Eigen::MatrixXd& covariance,
                                                     const std::vector<Candidate>& candidates,
                                                     const std::vector<Target>& targets);

}  // namespace plenair::study

#pragma once

#include <Eigen/Core>

#include <functional>
#include <string>
#include <vector>

namespace plenair {

/// A fit of x to readings: the least sum of squares of the residuals, each over its standard
/// deviation, and of the distances from the prior.
struct LeastSquares {
    /// Residuals (reading - prediction)/deviation for each column of `x` (one column a trial, all
    /// at once, so that they may be computed side by side). @returns one column each; a trial that
    /// cannot be computed is not finite
    std::function<Eigen::MatrixXd(const Eigen::MatrixXd& x)> residuals;
    Eigen::VectorXd start;
    Eigen::VectorXd step;  ///< of the differences that make the derivatives, > 0
    Eigen::VectorXd lower, upper;  ///< bounds; may be infinite
    Eigen::VectorXd prior;  ///< mean
    Eigen::VectorXd prior_deviation;  ///< infinite: none
    /// Residuals beyond this many deviations count by their size instead of its square (Huber);
    /// infinite: plain least squares.
    double robust = 2.5;
    /// How many times its deviation each residual may be off, 1 or more; empty: 1.
    Eigen::VectorXd widened;
    /// Derivatives are used again while no entry has moved by more than this part of its step.
    double near = 0;
    int max_evaluations = 60;  ///< of one run of the minimiser
    double tolerance = 1e-10;  ///< relative, of the sum and of x
};

struct LeastSquaresResult {
    bool converged = false;
    std::string failure;
    Eigen::VectorXd x;
    Eigen::VectorXd residuals;  ///< at x, not weighted
    Eigen::VectorXd start_residuals;
    Eigen::MatrixXd jacobian;  ///< of the residuals at x or `near` it, not weighted
    Eigen::VectorXd weights;  ///< of the residuals, 1 or less
    /// Of x: (J'WJ + P)^-1, P the prior's; entries at a bound have no freedom and zeros.
    Eigen::MatrixXd covariance;
    std::vector<bool> at_bound;
    double sum = 0;  ///< of the squared residuals, without the prior
    int evaluations = 0;
};

/// (J'WJ + P)^-1 with the prior's P: scaled before it is inverted; what nothing determines is very
/// wide, not broken. @param held  at a bound: no freedom; empty: none
[[nodiscard]] Eigen::MatrixXd posterior(const Eigen::MatrixXd& jacobian,
                                        const Eigen::VectorXd& weights,
                                        const Eigen::VectorXd& prior_deviation,
                                        const std::vector<bool>& held = {});

/// Levenberg-Marquardt as in MINPACK (More 1978), by Eigen; derivatives by central differences, all
/// trials of one Jacobian in one call and used again while all of x is `near`. Bounds by an active
/// set: an entry that would leave is held at its bound until the weights change. Robust weights
/// (Huber 1964) are renewed between runs of the minimiser.
[[nodiscard]] LeastSquaresResult solve_least_squares(const LeastSquares& problem);

}  // namespace plenair

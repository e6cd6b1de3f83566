#pragma once

#include "solver/network/network.hpp"

#include <Eigen/Core>

#include <vector>

namespace plenair {

/// Estimate of how far the shares of a cycle are from those of the periodic state. The residual
/// does not tell: a mode of eigenvalue L shows but (1 - L) of its error. Two parts: how far the
/// shares as they were, as the combination of the last cycles forecasts them and as the one before
/// forecast them lie apart; and what the still air has yet to change. Where the iteration contracts
/// by a factor q a cycle, what follows is the rest of a geometric series: both over 1 - q.
/// @source Kelley C. T. 1995, Iterative Methods for Linear and Nonlinear Equations, SIAM, sec. 4.2
/// (from memory): the distance from a fixed point is at most the step over 1 - q.
/// theory T62
class ShareError final {
public:
    /// Fresh masses trapped in the last cycle, and their forecast for where the next one begins.
    void note_trapped(const Eigen::VectorXd& trapped, const Eigen::VectorXd& forecast);
    /// `start` and `end` of a cycle, and both scaled, the end with what the still air will yet do.
    void note_still_air(const Network& network,
                        const std::vector<double>& start,
                        const std::vector<double>& end,
                        const Eigen::VectorXd& scaled_start,
                        const Eigen::VectorXd& scaled_end);
    /// Periodic residual of the last cycle [-].
    void note_residual(double residual);
    /// Before the first cycle of a start near the answer: fresh masses to expect there, and the
    /// contraction of those like it.
    void expect(const Eigen::VectorXd& forecast, double contraction) {
        last_forecast_ = forecast;
        expected_contraction_ = contraction;
    }
    /// Begins anew: the next cycle does not follow the last one.
    void forget() { last_forecast_.resize(0); }

    /// Largest error of a bias; of one cylinder, of its trapped air [-]. Infinite before two
    /// cycles.
    [[nodiscard]] double value() const {
        return (trapped_ + weight * still_air_) / (1.0 - contraction_);
    }
    /// Its part from the trapped masses, and the cylinder where it is largest, from 0.
    [[nodiscard]] double trapped() const { return trapped_; }
    [[nodiscard]] int cylinder() const { return cylinder_; }
    /// Relative change of density still to come where it is largest, the padded cell there, and how
    /// much warmer it became in the last cycle [K].
    [[nodiscard]] double still_air() const { return still_air_; }
    [[nodiscard]] int cell() const { return cell_; }
    [[nodiscard]] double warming() const { return warming_; }
    /// Fresh masses where the next cycle begins, and the factor by which a cycle brings it nearer.
    [[nodiscard]] const Eigen::VectorXd& forecast() const { return last_forecast_; }
    [[nodiscard]] double contraction() const { return contraction_; }
    /// Whether still air, rather than the cylinders, is what has not settled.
    [[nodiscard]] bool still_air_dominates() const { return weight * still_air_ > 0.5 * trapped_; }

private:
    /// A relative change of the density in one place moves a bias by less than this part of it.
    static constexpr double weight = 1.0 / 3.0;

    static constexpr double slowest = 0.95;

    double contraction_ = 0, expected_contraction_ = slowest;
    std::vector<double> residuals_;  ///< of the last cycles, newest last
    double trapped_ = 0, still_air_ = 0, warming_ = 0;
    int cylinder_ = -1, cell_ = -1;
    Eigen::VectorXd last_forecast_;
};

}  // namespace plenair

#pragma once

#include "cases/study/fit.hpp"
#include "cases/study/fit_faults.hpp"
#include "cases/study/fit_next.hpp"

#include <Eigen/Core>

#include <map>
#include <vector>

namespace plenair::study {

/// What a finished fit leaves.
struct FinishedFit {
    const Case& drawn;
    const Measured& measured;
    const AsMade& made;
    const ReadingModel& readings;
    FitModel& model;
    const std::vector<std::size_t>& points;
    const LeastSquaresResult& fitted;
    const Eigen::VectorXd& deviation;  ///< of the priors
    const Eigen::VectorXd& before;  ///< residuals at the prior
    const FaultOdds& odds;
    const std::vector<FaultCandidate>& named;
};

/// From a finished fit to its result in the terms of the trade.
class FitReport final : private FinishedFit {
public:
    explicit FitReport(const FinishedFit& finished) : FinishedFit(finished) {}

    [[nodiscard]] FitResult make();

private:
    void add_entries(FitResult& result) const;
    void add_readings(FitResult& result) const;
    void add_slot_cd(FitResult& result) const;
    void add_alike(FitResult& result) const;
    void add_joint(FitResult& result) const;
    void add_air(FitResult& result);
    void add_faults(FitResult& result) const;
    void add_splits(FitResult& result) const;
    void add_trims(FitResult& result) const;
    void add_next(FitResult& result);
    void add_taps(FitResult& result) const;
    void add_notes(FitResult& result) const;
    [[nodiscard]] std::string fault_text(const FaultCandidate& fault, double size) const;
    /// Half width of a linear function of the unknowns, 95 %.
    [[nodiscard]] double half(const Eigen::VectorXd& row) const;
    /// Derivatives of the biases at a point by all unknowns: [cylinder]. @param answers  of add_air
    [[nodiscard]] Eigen::MatrixXd bias_rows(std::size_t point,
                                            const Eigen::MatrixXd& trials,
                                            const std::vector<Answer>& answers);
    /// Moving lambda sensors, where an injector and a sensor cannot be told apart.
    void add_moved_sensors(FitResult& result) const;

    std::vector<std::size_t> all_points_;
    Answer at_fit_;
    std::map<std::size_t, Eigen::MatrixXd> bias_rows_;  ///< by point: [cylinder] by unknowns
    std::map<std::size_t, Eigen::VectorXd> air_rows_;  ///< total air, relative
};

}  // namespace plenair::study

#pragma once

#include "cases/study/fit.hpp"
#include "cases/study/fit_faults.hpp"
#include "cases/study/fit_readings.hpp"
#include "cases/study/least_squares.hpp"

#include <Eigen/Core>

#include <optional>
#include <vector>

namespace plenair::study {

/// One fit: least squares on an expansion of the model that is corrected by solved answers until it
/// rests on one of them. Waits where it needs one, so that many fits may have theirs solved
/// together.
class FitSearch final {
public:
    /// @throws InputError where an entry is unknown or the readings are fewer than the entries
    FitSearch(const Case& drawn, const Measured& measured, const FitOptions& options);

    [[nodiscard]] const AsMade& made() const { return made_; }

    void begin(FitModel& model);
    /// Goes on as far as what is solved allows. @returns whether it waits for an answer
    [[nodiscard]] bool advance(FitModel& model);
    /// Values of the entries at which it waits for an answer.
    [[nodiscard]] Eigen::VectorXd wanted() const { return entries_of(fitted_.x); }
    [[nodiscard]] const Expansion& near() const { return *near_; }
    void take(FitModel& model, const Answer& answer);

    [[nodiscard]] FitResult result(FitModel& model) const;

private:
    [[nodiscard]] Eigen::VectorXd entries_of(const Eigen::VectorXd& x) const;
    [[nodiscard]] LeastSquares problem() const;
    [[nodiscard]] double distance(const Eigen::VectorXd& solved) const;
    void rest_on(const Solved& solved);
    /// @throws InputError  naming flows and pressures that are nowhere near their prediction, and
    /// flows above the ideal one by more than their uncertainty
    void refuse_slips(const Eigen::VectorXd& predicted, const Moved& made) const;
    void fail(const std::string& why);
    /// Names the most probable fault and gives its unknown, or its reading, the room of one, so
    /// that nothing else is bent to explain it. @returns whether that asks for another fit
    bool free_fault();

    const Case& drawn_;
    const Measured& measured_;
    const FitOptions& options_;
    AsMade made_;
    std::vector<std::size_t> points_;  ///< that were read
    std::optional<ReadingModel> readings_;
    Eigen::VectorXd deviation_;  ///< of the priors
    Eigen::VectorXd start_;
    Eigen::VectorXd before_;  ///< residuals as made
    Answer as_made_;
    const Expansion* near_ = nullptr;
    Solved solved_;  ///< the answer that corrects the expansion
    Eigen::VectorXd correction_, scale_;
    LeastSquaresResult fitted_;
    FaultOdds odds_;  ///< of the first fault that is no wrong reading
    std::vector<FaultCandidate> named_;
    Eigen::VectorXd widened_;  ///< how many times its deviation each reading may be off
    int rounds_ = 0;
    bool failed_ = false;
};

}  // namespace plenair::study

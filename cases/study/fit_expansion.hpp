#pragma once

#include "cases/study/fit_answer.hpp"
#include "solver/march/start.hpp"

#include <Eigen/Core>

#include <cstddef>
#include <map>
#include <vector>

namespace plenair::study {

/// What solved trials say about the model near them: answers to second order along each entry, and
/// to first order the periodic state where a trial of other values begins.
class Expansion final {
public:
    /// @param trials  values of the entries, a column each: the centre, then the low and the high
    /// one of each entry by itself
    /// @param answers  of the trials. Where one side of an entry is missing the other one counts
    /// alone; points where both are missing, or the centre, are left out
    /// @param ends  by point, of the trials: where one more cycle begins
    Expansion(Eigen::MatrixXd trials,
              const std::vector<Answer>& answers,
              std::map<std::size_t, std::vector<Start>> ends);

    [[nodiscard]] Eigen::VectorXd centre() const { return trials_.col(0); }
    /// @param correction  to be added to the numbers; empty: none
    [[nodiscard]] Answer at(const Eigen::VectorXd& x, const Eigen::VectorXd& correction) const;
    /// What to add here, so that it gives `solved` at x; of points that are not in both: nothing.
    [[nodiscard]] Eigen::VectorXd correction(const Eigen::VectorXd& x, const Answer& solved) const;
    /// Derivatives of an answer by each entry.
    [[nodiscard]] std::vector<Answer> slopes(const Eigen::VectorXd& x) const;
    /// Without state where nothing is known.
    [[nodiscard]] Start start_at(std::size_t point, const Eigen::VectorXd& x) const;

private:
    Eigen::MatrixXd trials_;
    Answer shape_;  ///< at the centre
    Eigen::VectorXd base_;
    Eigen::MatrixXd slope_, curvature_;  ///< [number][entry]
    std::map<std::size_t, std::vector<Start>> ends_;
};

}  // namespace plenair::study

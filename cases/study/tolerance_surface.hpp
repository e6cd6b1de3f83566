#pragma once

#include "cases/study/choose_goal.hpp"
#include "cases/study/tolerance.hpp"

#include <span>
#include <vector>

namespace plenair::study {

/// Outputs of a part whose inputs are off: for each input a parabola through its two limits and the
/// drawn part, added up. Deviations are small, so products of two of them are left out; how much
/// that costs is measured on parts that are solved.
class ToleranceSurface final {
public:
    /// @param low, high  outputs with one input at its lower and upper limit, an entry an input
    ToleranceSurface(Outputs drawn,
                     const std::vector<Outputs>& low,
                     const std::vector<Outputs>& high);
    /// @param deviations  of each input, in limits: -1 to 1 within them
    void at(std::span<const double> deviations, Outputs& y) const;
    [[nodiscard]] const Outputs& slope(std::size_t input) const { return slope_[input]; }
    [[nodiscard]] const Outputs& bend(std::size_t input) const { return bend_[input]; }

private:
    Outputs drawn_;
    std::vector<Outputs> slope_, bend_;
};

/// Solves parts in lanes. An entry without result is empty.
/// @param deviations  of each part: of every dimension, then of every coefficient, in limits
[[nodiscard]] std::vector<Outputs> solve_parts(const TolerancePlan& plan,
                                               const std::vector<std::vector<double>>& deviations,
                                               const ToleranceOptions& options);

}  // namespace plenair::study

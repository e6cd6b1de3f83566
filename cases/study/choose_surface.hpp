#pragma once

#include "cases/study/choose_goal.hpp"

#include <Eigen/Core>
#include <vector>

namespace plenair::study {

/// Smooth surface through outputs known at scattered places: what a gradient method walks on.
/// @source Wendland H. 2005, Scattered Data Approximation, ch. 8 (polyharmonic spline r^3 with a
/// linear polynomial), from memory.
class Surface final {
public:
    /// @param places  in the unit cube, no two the same; more than their dimension
    Surface(std::vector<std::vector<double>> places, const std::vector<Outputs>& outputs);

    [[nodiscard]] Outputs at(const std::vector<double>& place) const;
    /// d output / d place, a row an output.
    [[nodiscard]] Eigen::MatrixXd gradient(const std::vector<double>& place) const;

private:
    std::vector<std::vector<double>> places_;
    Eigen::MatrixXd weights_;  ///< a row a place, then those of the plane
};

}  // namespace plenair::study

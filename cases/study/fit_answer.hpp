#pragma once

#include <Eigen/Core>

#include <cstddef>
#include <map>
#include <string>
#include <vector>

/// What the model predicts where something was read.
namespace plenair::study {

/// One point of the engine.
struct PointAnswer {
    std::vector<double> bias;  ///< by cylinder
    double air_flow = 0;  ///< [kg/s]
    double plenum_pressure = 0;  ///< mean [Pa]
};

struct Answer {
    std::vector<double> bench;  ///< bench_numbers() of each bench reading; not finite: not steady
    std::map<std::size_t, PointAnswer> points;  ///< by index in the case; those that converged
    std::map<std::size_t, std::string> failures;  ///< why the others did not

    /// Why it says nothing about the bench and these points; empty: it does.
    [[nodiscard]] std::string missing(const std::vector<std::size_t>& wanted) const;

    /// All its numbers in a row: those of the bench, then biases, air flow and pressure of each
    /// point.
    [[nodiscard]] Eigen::VectorXd numbers() const;
    /// Of the same points, with other numbers. @pre as many as numbers() has
    [[nodiscard]] Answer with(const Eigen::VectorXd& numbers) const;
};

}  // namespace plenair::study

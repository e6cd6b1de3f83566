#pragma once

#include "cases/study/fit.hpp"
#include "cases/study/fit_readings.hpp"
#include "cases/study/least_squares.hpp"

#include <vector>

/// Which cylinder has a fault, by how well each explanation predicts all readings together.
namespace plenair::study {

/// Size of a fault, one standard deviation: injector 4 % of fuel, sensor 0.03 lambda, runner 4 %,
/// leak 3 % of air; a wrong reading ten of its deviations (common practice).
inline constexpr double fault_injector = 0.04;
inline constexpr double fault_sensor = 0.03;
inline constexpr double fault_runner = 0.04;
inline constexpr double fault_leak = 0.03;
inline constexpr double fault_reading = 10;

/// Probability from which a fault may be the one: as likely as another within a factor of ten or
/// so.
inline constexpr double possible_fault = 0.05;

/// One explanation: an unknown that is off by more than usual, or one wrong reading.
struct FaultCandidate {
    FaultKind kind = FaultKind::injector;
    std::size_t cylinder = 0;
    Eigen::Index unknown = -1;  ///< -1: a reading
    Eigen::Index reading = -1;
    double log_odds = 0;  ///< against no fault, prior odds included
    double probability = 0;
    double size = 0;  ///< most probable, were it the fault
};

struct FaultOdds {
    std::vector<FaultCandidate> list;  ///< most probable first
    double none = 1;

    /// The candidate of this kind at a cylinder where it may be the fault; null where it may not.
    [[nodiscard]] const FaultCandidate* possible(FaultKind kind, std::size_t cylinder) const;
};

/// Odds of every single fault against none: Bayes factors of Gaussian models, linear about the
/// fit (the readings' covariance is noise plus what the prior lets the unknowns do; a fault widens
/// one of them).
/// @param deviation  of the prior of every unknown, as fitted
/// @param widened  how many times its deviation each reading may be off; one that may be off by
/// more than 1 is known to be wrong and no candidate
[[nodiscard]] FaultOdds fault_odds(const ReadingModel& model,
                                   const LeastSquaresResult& fitted,
                                   const Eigen::VectorXd& deviation,
                                   const Eigen::VectorXd& widened);

}  // namespace plenair::study

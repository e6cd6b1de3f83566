#pragma once

#include "geometry/intake.hpp"
#include "solver/march/result.hpp"
#include "solver/network/builder.hpp"
#include "solver/network/network.hpp"
#include "solver/network/point.hpp"

namespace plenair {

struct SteadyOutcome {
    bool converged = false;
    int iterations = 0;
    double residual = 0;  ///< scaled rate of change, relative to the first
    std::string failure;
};

/// Brings a network without an engine to its steady state: Newton steps on the same right-hand side
/// with a pseudo time step that grows as the rate of change falls, so that the start is as robust
/// as marching and the end converges quadratically.
/// `near` says that the state is close already: the first pseudo time step is long.
/// @source Kelley C. T., Keyes D. E. 1998, SIAM J. Numer. Anal. 35(2), 508-523 (pseudo-transient
/// continuation).
/// theory T63
[[nodiscard]] SteadyOutcome find_steady_state(const Network& network,
                                              std::vector<double>& state,
                                              bool near = false);

/// One flow-bench set-up. Never throws for a set-up that does not converge.
[[nodiscard]] BenchResult solve_bench(const geometry::Intake& intake,
                                      const BenchSettings& bench,
                                      const Model& model,
                                      const BenchParts& parts);

}  // namespace plenair

#pragma once

#include "geometry/intake.hpp"
#include "solver/cylinder/crank_table.hpp"
#include "solver/march/result.hpp"
#include "solver/march/start.hpp"
#include "solver/network/network.hpp"
#include "solver/network/point.hpp"

#include <functional>
#include <string>
#include <vector>

namespace plenair {

struct CycleOptions {
    bool traces = false;
    int min_cycles = 3;
    /// Periodic state of an intake like this one on the same cells, to begin from; none, or one of
    /// another size: from still gas.
    const std::vector<double>* start = nullptr;
    /// Steps to take before those that its waves ask for, the next ones where they prove too long:
    /// those of a lane (solver/ensemble), to repeat it.
    std::vector<StepPlan> plans = {};
    int start_age = 0;  ///< cycles that it took; many: the intake forgets slowly
    /// The same with all that is known there; takes the place of `start`.
    const Start* from = nullptr;
    std::function<void(int cycles)> each_cycle;  ///< called when so many are done
    std::vector<double>* final_state =
        nullptr;  ///< receives the periodic state, to begin others from
    Start* end = nullptr;  ///< receives where one more cycle would begin, likewise
};

/// One operating point of one intake, marched to its periodic state. Never throws for a point that
/// does not converge, or that would take too much memory or time (solver/march/cost.hpp):
/// `converged` is false and `failure` says why; shares are then left zero.
/// @throws InputError where the intake cannot be built.
[[nodiscard]] PointResult solve_point(const geometry::Intake& intake,
                                      const geometry::Engine& engine,
                                      const OperatingPoint& point,
                                      const Model& model,
                                      const CycleOptions& options);

}  // namespace plenair

#pragma once

#include "cases/study/solve_result.hpp"

#include <atomic>
#include <functional>
#include <string>
#include <vector>

namespace plenair {

struct Case;

struct SolveOptions {
    int threads = 0;  ///< 0: all cores
    bool traces = false;
    bool bands = false;
    std::vector<std::string> points;  ///< names; empty: all
    bool no_slot = false;  ///< each point without its slot too, where the case has one
    bool refine_curves = true;  ///< look for the worst speed between the steps
    bool reasons = false;  ///< causes and sensitivities of the point with the most spread
    std::function<void(int done, int total)> progress;
    /// After each cycle of a point, from any thread.
    std::function<void(const std::string& point, int cycles)> cycle;
    const std::atomic<bool>* stop = nullptr;  ///< once set, points not begun are left out
    /// For a case of one point: state of a neighbour to begin from (none, or of another topology:
    /// still gas), and where its own periodic state goes.
    const std::vector<double>* start = nullptr;
    std::vector<double>* final_state = nullptr;
};

/// All points of the case. @throws InputError where the case has no engine or no point.
[[nodiscard]] SolveResult solve(const Case& c, const SolveOptions& options);

}  // namespace plenair

#pragma once

#include "cases/study/study.hpp"

#include <cstddef>
#include <functional>
#include <vector>

namespace plenair::study {

/// Neighbouring points of a list: each but the first begins from the periodic state of the one
/// before it.
struct PointRun {
    std::size_t first = 0, count = 1;
};

/// A list of points of the case, by their places in it, in runs: each [[point]] alone, each curve
/// in runs of at most eight, so that threads find work. Which points begin from which does not
/// depend on the threads. Places in the runs are those in the list.
[[nodiscard]] std::vector<PointRun> runs_of(const Case& c, const std::vector<std::size_t>& list);
/// So many neighbouring points, likewise.
[[nodiscard]] std::vector<PointRun> in_runs(std::size_t count, std::size_t first = 0);

/// What is done with each point of a run as soon as it is solved, in order. @param state  its
/// periodic state; empty where it has none
using TakePoint =
    std::function<void(std::size_t place, PointResult point, std::vector<double> state)>;

/// How a run is solved.
struct RunOptions {
    bool traces = false;
    const std::vector<double>* start = nullptr;  ///< for its first point; none: still gas
    const std::atomic<bool>* stop = nullptr;  ///< once set, points not begun say so as failure
    std::function<void(const std::string& point, int cycles)> cycle = {};  ///< after each
};

/// Solves the neighbouring points of one run: the only place where a study marches lists of
/// points that one intake and engine share.
/// @param points  the list that the run divides; `c.points` is not looked at
void solve_run(const Case& c,
               const std::vector<OperatingPoint>& points,
               const PointRun& run,
               const RunOptions& options,
               const TakePoint& take);

/// Points of a list, and how many of them were not begun when it was told to stop.
struct SolvedPoints {
    std::vector<PointResult> points;
    std::size_t left_out = 0;
};

/// All runs of a list on the threads that `options` wants, with bands, traces and each without slot
/// if it wants them. Of `options` it takes threads, traces, bands, no_slot, progress, cycle, stop,
/// start and final_state.
[[nodiscard]] SolvedPoints solve_points(const Case& c,
                                        const std::vector<OperatingPoint>& points,
                                        const std::vector<PointRun>& runs,
                                        const SolveOptions& options);

}  // namespace plenair::study

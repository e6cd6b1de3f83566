#pragma once

#include "cases/study/solve.hpp"
#include "solver/march/start.hpp"

#include <cstddef>
#include <functional>
#include <span>
#include <vector>

namespace plenair {
struct Case;
}

namespace plenair::study {

/// Neighbouring points of a list that are solved by one thread.
struct PointRun {
    std::size_t first = 0, count = 1;
    /// Side by side; else one by one, each but the first from the periodic state of the one before.
    bool together = false;
};

/// A list of points of the case, by their places in it, in runs: each [[point]] alone, each curve
/// as `in_runs` has it. Which points begin from which does not depend on the threads. Places in the
/// runs are those in the list.
[[nodiscard]] std::vector<PointRun> runs_of(const Case& c, const std::vector<std::size_t>& list);
/// Points of ascending speed in runs that fill the lanes, at most 32 in each; where a point costs
/// so much that nobody should wait for that many, one by one in runs of at most eight.
/// @param first  place of the first one in its list
[[nodiscard]] std::vector<PointRun> in_runs(const Case& c,
                                            std::span<const OperatingPoint> points,
                                            std::size_t first = 0);

/// A point that was solved.
struct SolvedPoint {
    PointResult result;
    Start end;  ///< where one more cycle of it begins; without state where it did not converge
    bool begun = true;  ///< false: it was told to stop before
};

/// How a run is solved.
struct RunOptions {
    bool traces = false;
    const std::vector<double>* start = nullptr;  ///< for its first point; none: still gas
    std::vector<double>* final_state = nullptr;  ///< receives that of the last point
    const std::atomic<bool>* stop = nullptr;  ///< once set, points not begun say so as failure
    std::function<void(const std::string& point, int cycles)> cycle = {};  ///< after each
};

/// Solves the neighbouring points of one run: the only place where a study marches lists of points
/// that one intake and engine share. Lanes are a way to find where a point begins: each is then
/// solved as it would be alone, so that it is periodic or not by the same verdict.
/// @param points  the list that the run divides; `c.points` is not looked at
[[nodiscard]] std::vector<SolvedPoint> solve_run(const Case& c,
                                                 const std::vector<OperatingPoint>& points,
                                                 const PointRun& run,
                                                 const RunOptions& options);

/// The same engine with the wall between its chambers taken out, beside the point itself. Where
/// that did not converge the result stands without it and says so.
void add_no_slot(const PointResult& plain, PointResult& result);

/// Points of a list, and how many of them were not begun when it was told to stop.
struct SolvedPoints {
    std::vector<PointResult> points;
    std::vector<Start> ends;  ///< of each, likewise
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

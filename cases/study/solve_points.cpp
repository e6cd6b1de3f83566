#include "cases/study/solve_points.hpp"

#include "cases/study/bands.hpp"
#include "cases/study/no_slot.hpp"
#include "cases/study/parallel.hpp"
#include "solver/march/cycle.hpp"

#include <algorithm>
#include <atomic>
#include <utility>

namespace plenair::study {

namespace {

constexpr std::size_t longest_run = 8;

PointResult not_begun(const OperatingPoint& point) {
    PointResult result;
    result.name = point.name;
    result.speed = point.speed;
    result.source_pressure = point.pressure;
    result.source_temperature = point.temperature;
    result.failure = "stopped before it was computed";
    return result;
}

/// The same engine with the wall between its chambers taken out. Where that does not converge the
/// result stands without it.
void add_no_slot(const Case& c, const OperatingPoint& point, PointResult& result) {
    const PointResult plain = solve_point(without_slot(c.intake), c.engine, point, c.model, {});
    if (!plain.converged) {
        result.notes.push_back(
            "without its slot this point did not converge: whether the slot "
            "helps here is not known");
        return;
    }
    result.no_slot_spread = plain.spread;
    result.no_slot_air_flow = plain.air_flow;
}

}  // namespace

std::vector<PointRun> in_runs(std::size_t count, std::size_t first) {
    std::vector<PointRun> runs;
    for (std::size_t p = 0; p < count; p += longest_run) {
        runs.push_back({first + p, std::min(longest_run, count - p)});
    }
    return runs;
}

std::vector<PointRun> runs_of(const Case& c, const std::vector<std::size_t>& list) {
    const auto curve_at = [&](std::size_t p) {
        return std::find_if(c.curves.begin(), c.curves.end(), [p](const auto& curve) {
            return p >= curve.first && p < curve.first + curve.count;
        });
    };
    std::vector<PointRun> runs;
    for (std::size_t i = 0; i < list.size();) {
        const auto curve = curve_at(list[i]);
        std::size_t end = i + 1;
        while (curve != c.curves.end() && end < list.size() && list[end] == list[end - 1] + 1 &&
               curve_at(list[end]) == curve) {
            ++end;
        }
        const auto more = in_runs(end - i, i);
        runs.insert(runs.end(), more.begin(), more.end());
        i = end;
    }
    return runs;
}

void solve_run(const Case& c,
               const std::vector<OperatingPoint>& points,
               const PointRun& run,
               const RunOptions& options,
               const TakePoint& take) {
    std::vector<double> last;
    int age = 0;
    for (std::size_t p = run.first; p < run.first + run.count; ++p) {
        if (options.stop != nullptr && options.stop->load()) {
            take(p, not_begun(points[p]), {});
            continue;
        }
        CycleOptions cycle;
        std::vector<double> state;
        cycle.traces = options.traces;
        cycle.start = last.empty() ? options.start : &last;
        cycle.start_age = age;
        cycle.final_state = &state;
        if (options.cycle) {
            cycle.each_cycle = [&](int cycles) { options.cycle(points[p].name, cycles); };
        }
        PointResult result = solve_point(c.intake, c.engine, points[p], c.model, cycle);
        if (!result.converged && !last.empty()) {
            // Its neighbour may be of another kind: choked, or blown back.
            cycle.start = options.start;
            cycle.start_age = 0;
            result = solve_point(c.intake, c.engine, points[p], c.model, cycle);
        }
        age = result.converged ? std::max(age, result.cycles) : 0;
        last = result.converged ? state : std::vector<double>{};
        take(p, std::move(result), std::move(state));
    }
}

SolvedPoints solve_points(const Case& c,
                          const std::vector<OperatingPoint>& points,
                          const std::vector<PointRun>& runs,
                          const SolveOptions& options) {
    SolvedPoints solved;
    solved.points.resize(points.size());
    std::atomic<int> done{0};
    std::atomic<std::size_t> left_out{0};
    const RunOptions how{options.traces, options.start, options.stop, options.cycle};
    for_each_job(runs.size(), options.threads, [&](std::size_t r) {
        solve_run(c, points, runs[r], how, [&](auto p, PointResult result, auto state) {
            if (!result.converged && result.cycles == 0 && options.stop && options.stop->load()) {
                ++left_out;
            } else {
                if (options.bands) {
                    add_bands(c, points[p], result, &state);
                }
                if (options.no_slot && result.converged && has_slot(c.intake)) {
                    add_no_slot(c, points[p], result);
                }
            }
            solved.points[p] = std::move(result);
            if (options.final_state != nullptr && points.size() == 1) {
                *options.final_state = std::move(state);
            }
            if (options.progress) {
                options.progress(++done, static_cast<int>(points.size()));
            }
        });
    });
    solved.left_out = left_out;
    return solved;
}

}  // namespace plenair::study

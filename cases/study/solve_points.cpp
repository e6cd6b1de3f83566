#include "cases/study/solve_points.hpp"

#include "cases/base/parallel.hpp"
#include "cases/study/bands.hpp"
#include "cases/study/case.hpp"
#include "cases/study/march_together.hpp"
#include "cases/study/moved_points.hpp"
#include "cases/study/no_slot.hpp"
#include "cases/study/sonic_words.hpp"
#include "solver/march/cost.hpp"
#include "solver/march/cycle.hpp"
#include "solver/march/periodic_iteration.hpp"

#include <algorithm>
#include <atomic>
#include <utility>

namespace plenair::study {

namespace {

constexpr std::size_t one_by_one = 8;  // longest run
constexpr std::size_t side_by_side = 32;
// So long may a run keep its thread before it can be stopped, by the estimate of one point alone;
// lanes take a fifth of that.
constexpr double longest_wait = 40;  // [s]

PointResult not_begun(const OperatingPoint& point) {
    PointResult result;
    result.name = point.name;
    result.speed = point.speed;
    result.source_pressure = point.pressure;
    result.source_temperature = point.temperature;
    result.failure = "stopped before it was computed";
    return result;
}

std::span<const OperatingPoint> points_of(const std::vector<OperatingPoint>& points,
                                          const PointRun& run) {
    return std::span(points).subspan(run.first, run.count);
}

/// Points without their slot. One that does not converge in lanes is tried alone.
/// @param wanted  whether the point at a place of the run is
template <class Wanted>
std::vector<PointResult> solve_no_slots(const Case& c,
                                        const std::vector<OperatingPoint>& points,
                                        const PointRun& run,
                                        const Wanted& wanted) {
    const auto plain = without_slot(c.intake);
    std::vector<PointResult> solved(run.count);
    if (run.together) {
        const bool many = points.size() > most_in_double;
        Model model = c.model;
        model.tolerance = std::max(model.tolerance, many ? band_tolerance : 0.0);
        solved = march_together(plain,
                                c.engine,
                                model,
                                points_of(points, run),
                                {},
                                many ? Precision::float32 : Precision::float64)
                     .points;
    }
    for (std::size_t i = 0; i < run.count; ++i) {
        if (!solved[i].converged && wanted(i)) {
            solved[i] = solve_point(plain, c.engine, points[run.first + i], c.model, {});
        }
    }
    return solved;
}

}  // namespace

void add_no_slot(const PointResult& plain, PointResult& result) {
    if (!plain.converged) {
        result.notes.push_back(
            "without its slot this point did not converge: whether the slot "
            "helps here is not known");
        return;
    }
    result.no_slot_spread = plain.spread;
    result.no_slot_air_flow = plain.air_flow;
}

std::vector<PointRun> in_runs(const Case& c,
                              std::span<const OperatingPoint> points,
                              std::size_t first) {
    double dearest = 0;
    for (const auto& point : points) {
        dearest = std::max(dearest, point_cost(c.intake, c.engine, point, c.model).seconds);
    }
    const bool together = points.size() >= enough_for_lanes &&
                          dearest * static_cast<double>(enough_for_lanes) < longest_wait;
    const auto most =
        together ? std::min(side_by_side,
                            static_cast<std::size_t>(longest_wait / std::max(dearest, 1e-3)))
                 : one_by_one;
    // Equal parts: a last one of two would leave its lanes empty.
    const std::size_t parts = (points.size() + most - 1) / most;
    std::vector<PointRun> runs;
    for (std::size_t k = 0; k < parts; ++k) {
        const std::size_t begin = k * points.size() / parts;
        const std::size_t end = (k + 1) * points.size() / parts;
        runs.push_back({first + begin, end - begin, together});
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
        std::vector<OperatingPoint> points;
        for (std::size_t k = i; k < end; ++k) {
            points.push_back(c.points[list[k]]);
        }
        const auto more =
            curve == c.curves.end() ? std::vector<PointRun>{{i, 1, false}} : in_runs(c, points, i);
        runs.insert(runs.end(), more.begin(), more.end());
        i = end;
    }
    return runs;
}

namespace {

/// How one point is marched.
CycleOptions cycle_options(const RunOptions& options, const std::string& point) {
    CycleOptions cycle;
    cycle.traces = options.traces;
    if (options.cycle) {
        cycle.each_cycle = [&options, point](int cycles) { options.cycle(point, cycles); };
    }
    return cycle;
}

/// Each from where the one before came to.
void solve_in_turn(const Case& c,
                   const std::vector<OperatingPoint>& points,
                   const PointRun& run,
                   const RunOptions& options,
                   std::vector<SolvedPoint>& solved) {
    Start last;
    for (std::size_t p = run.first; p < run.first + run.count; ++p) {
        if (options.stop != nullptr && options.stop->load()) {
            solved.push_back({not_begun(points[p]), {}, false});
            continue;
        }
        SolvedPoint& now = solved.emplace_back();
        CycleOptions cycle = cycle_options(options, points[p].name);
        cycle.start = options.start;
        cycle.from = last.state.empty() ? nullptr : &last;
        cycle.end = &now.end;
        cycle.final_state = options.final_state;
        now.result = solve_point(c.intake, c.engine, points[p], c.model, cycle);
        if (!now.result.converged && cycle.from != nullptr) {
            // Its neighbour may be of another kind: choked, or blown back.
            cycle.from = nullptr;
            now.result = solve_point(c.intake, c.engine, points[p], c.model, cycle);
        }
        last = now.end;
        last.trapped.clear();  // another point traps other masses
    }
}

void solve_together(const Case& c,
                    const std::vector<OperatingPoint>& points,
                    const PointRun& run,
                    const RunOptions& options,
                    std::vector<SolvedPoint>& solved) {
    auto lanes = march_together(c.intake, c.engine, c.model, points_of(points, run));
    for (std::size_t i = 0; i < run.count; ++i) {
        const OperatingPoint& point = points[run.first + i];
        SolvedPoint& now = solved.emplace_back();
        CycleOptions cycle = cycle_options(options, point.name);
        cycle.end = &now.end;
        if (lanes.points[i].converged) {
            cycle.from = &lanes.ends[i];
            if (c.model.tolerance > level_share_change) {
                cycle.plans = {std::move(lanes.plans[i])};
            }
            cycle.min_cycles = 1;
            now.result = solve_point(c.intake, c.engine, point, c.model, cycle);
            now.result.cycles += lanes.points[i].cycles;
        }
        if (!now.result.converged) {
            CycleOptions alone = cycle_options(options, point.name);
            alone.end = &now.end;
            now.result = solve_point(c.intake, c.engine, point, c.model, alone);
        }
    }
}

/// Points that march together and whose speeds ascend: first and count of each such row.
std::vector<std::pair<std::size_t, std::size_t>> curves_of(
    const std::vector<OperatingPoint>& points, const std::vector<PointRun>& runs) {
    std::vector<std::pair<std::size_t, std::size_t>> curves;
    bool before = false;
    for (const PointRun& run : runs) {
        const bool follows = before && run.together && run.first > 0 &&
                             points[run.first].speed > points[run.first - 1].speed;
        if (follows) {
            curves.back().second += run.count;
        } else if (run.together) {
            curves.emplace_back(run.first, run.count);
        }
        before = run.together;
    }
    return curves;
}

/// @param first  place of the first of them in the list
void add_bands_along(const Case& c,
                     std::span<const OperatingPoint> points,
                     std::size_t first,
                     const SolveOptions& options,
                     SolvedPoints& all) {
    std::vector<NearPoint> near;
    for (std::size_t i = 0; i < points.size(); ++i) {
        near.push_back({&points[i], &all.points[first + i], &all.ends[first + i]});
    }
    auto bands = bands_of(c, near, options.threads);
    for (std::size_t i = 0; i < bands.size(); ++i) {
        add_bands(std::move(bands[i]), all.points[first + i]);
    }
}

}  // namespace

std::vector<SolvedPoint> solve_run(const Case& c,
                                   const std::vector<OperatingPoint>& points,
                                   const PointRun& run,
                                   const RunOptions& options) {
    std::vector<SolvedPoint> solved;
    solved.reserve(run.count);
    const bool stopped = options.stop != nullptr && options.stop->load();
    (run.together && !stopped ? solve_together : solve_in_turn)(c, points, run, options, solved);
    return solved;
}

SolvedPoints solve_points(const Case& c,
                          const std::vector<OperatingPoint>& points,
                          const std::vector<PointRun>& runs,
                          const SolveOptions& options) {
    SolvedPoints all;
    all.points.resize(points.size());
    all.ends.resize(points.size());
    std::atomic<int> done{0};
    std::atomic<std::size_t> left_out{0};
    const RunOptions how{options.traces,
                         options.start,
                         points.size() == 1 ? options.final_state : nullptr,
                         options.stop,
                         options.cycle};
    const bool no_slot = options.no_slot && has_slot(c.intake);
    const auto add_no_slots = [&](const PointRun& run, const std::vector<PointResult>& plain) {
        for (std::size_t i = 0; i < plain.size(); ++i) {
            if (all.points[run.first + i].converged) {
                add_no_slot(plain[i], all.points[run.first + i]);
            }
        }
    };
    // A long run leaves its points without slot to another thread.
    std::vector<std::size_t> later;
    for (std::size_t r = 0; no_slot && r < runs.size(); ++r) {
        if (runs[r].together) {
            later.push_back(r);
        }
    }
    std::vector<std::vector<PointResult>> plain(later.size());
    for_each_job(runs.size() + later.size(), options.threads, [&](std::size_t job) {
        if (job >= runs.size()) {
            if (options.stop == nullptr || !options.stop->load()) {
                const std::size_t k = job - runs.size();
                plain[k] =
                    solve_no_slots(c, points, runs[later[k]], [](std::size_t) { return true; });
            }
            return;
        }
        const PointRun& run = runs[job];
        auto solved = solve_run(c, points, run, how);
        for (std::size_t i = 0; i < run.count; ++i) {
            left_out += solved[i].begun ? 0 : 1;
            add_sonic_notes(c.units, solved[i].result);
            all.points[run.first + i] = std::move(solved[i].result);
            all.ends[run.first + i] = std::move(solved[i].end);
        }
        if (no_slot && !run.together) {
            add_no_slots(run, solve_no_slots(c, points, run, [&](std::size_t i) {
                             return all.points[run.first + i].converged;
                         }));
        }
        if (options.bands && !run.together) {
            for (std::size_t p = run.first; p < run.first + run.count; ++p) {
                const NearPoint near{&points[p], &all.points[p], &all.ends[p]};
                add_bands(std::move(bands_of(c, {&near, 1}).front()), all.points[p]);
            }
        }
        if (options.progress) {
            done += static_cast<int>(run.count);
            options.progress(done, static_cast<int>(points.size()));
        }
    });
    for (std::size_t k = 0; k < later.size(); ++k) {
        add_no_slots(runs[later[k]], plain[k]);
    }
    if (options.bands) {
        for (const auto& [first, count] : curves_of(points, runs)) {
            add_bands_along(c, std::span(points).subspan(first, count), first, options, all);
        }
    }
    all.left_out = left_out;
    return all;
}

}  // namespace plenair::study

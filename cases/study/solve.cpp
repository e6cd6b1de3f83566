#include "cases/study/bands.hpp"
#include "cases/study/no_slot.hpp"
#include "cases/study/parallel.hpp"
#include "cases/study/study.hpp"
#include "cases/study/verdict.hpp"
#include "geometry/error.hpp"
#include "solver/march/cycle.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <atomic>
#include <utility>
#include <vector>

namespace plenair {

namespace {

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
    const PointResult plain =
        solve_point(study::without_slot(c.intake), c.engine, point, c.model, {});
    if (!plain.converged) {
        result.notes.push_back(
            "without its slot this point did not converge: whether the slot "
            "helps here is not known");
        return;
    }
    result.no_slot_spread = plain.spread;
    result.no_slot_air_flow = plain.air_flow;
}

PointResult solve_one(const Case& c, const OperatingPoint& point, const SolveOptions& options) {
    CycleOptions cycle;
    std::vector<double> state;
    cycle.traces = options.traces;
    cycle.start = options.start;
    cycle.final_state = &state;
    PointResult result = solve_point(c.intake, c.engine, point, c.model, cycle);
    if (options.bands) {
        Bands bands = point_bands(c, point, result, &state);
        result.bias_band = bands.sum.bias;
        result.spread_band = bands.sum.spread;
        result.air_band = bands.sum.air;
        result.slot_loss_band = bands.sum.slot_loss;
        result.band_parts = std::move(bands.parts);
        if (bands.before.bias > 0) {
            result.notes.push_back(narrowed_words(bands));
        }
        for (const auto& note : bands.left_out) {
            result.notes.push_back(note);
        }
    }
    if (options.no_slot && result.converged && study::has_slot(c.intake)) {
        add_no_slot(c, point, result);
    }
    if (options.final_state != nullptr && c.points.size() == 1) {
        *options.final_state = std::move(state);
    }
    return result;
}

}  // namespace

std::vector<std::size_t> chosen_points(const Case& c, const std::vector<std::string>& names) {
    std::vector<std::size_t> chosen;
    std::vector<std::string> known, errors;
    for (const auto& point : c.points) {
        known.push_back(point.name);
    }
    for (std::size_t i = 0; i < known.size(); ++i) {
        if (names.empty() || std::find(names.begin(), names.end(), known[i]) != names.end()) {
            chosen.push_back(i);
        }
    }
    for (const auto& name : names) {
        if (std::find(known.begin(), known.end(), name) == known.end()) {
            errors.push_back(fmt::format(
                "{}: no point '{}'; the points are {}", c.path, name, fmt::join(known, ", ")));
        }
    }
    if (!errors.empty()) {
        throw InputError(errors);
    }
    return chosen;
}

bool SolveResult::converged() const {
    return std::all_of(points.begin(), points.end(), [](const auto& p) { return p.converged; });
}

SolveResult solve(const Case& c, const SolveOptions& options) {
    if (!c.has_engine) {
        throw InputError({c.path + ": no [engine]: solve needs one; a rig runs with bench"});
    }
    if (c.points.empty()) {
        throw InputError({c.path + ": no [[point]]: solve needs at least one operating point"});
    }
    SolveResult result;
    result.title = c.title;
    result.case_digest = c.digest;
    result.case_text = c.text;
    result.assumed = c.assumed;
    result.units = c.units;
    const auto chosen = chosen_points(c, options.points);
    result.points.resize(chosen.size());
    std::atomic<int> done{0};
    std::atomic<std::size_t> left_out{0};
    study::for_each_job(chosen.size(), options.threads, [&](std::size_t i) {
        const OperatingPoint& point = c.points[chosen[i]];
        if (options.stop != nullptr && options.stop->load()) {
            result.points[i] = not_begun(point);
            ++left_out;
            return;
        }
        result.points[i] = solve_one(c, point, options);
        const int count = ++done;
        if (options.progress) {
            options.progress(count, static_cast<int>(chosen.size()));
        }
    });
    result.left_out = left_out;
    result.summary = verdict_words(result);
    return result;
}

}  // namespace plenair

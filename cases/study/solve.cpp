#include "cases/study/bands.hpp"
#include "cases/study/parallel.hpp"
#include "cases/study/study.hpp"
#include "cases/study/verdict.hpp"
#include "geometry/error.hpp"
#include "solver/march/cycle.hpp"

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

PointResult solve_one(const Case& c, const OperatingPoint& point, const SolveOptions& options) {
    CycleOptions cycle;
    std::vector<double> state;
    cycle.traces = options.traces;
    cycle.start = options.start;
    cycle.final_state = &state;
    if (options.cycle) {
        cycle.each_cycle = [&](int cycles) { options.cycle(point.name, cycles); };
    }
    PointResult result = solve_point(c.intake, c.engine, point, c.model, cycle);
    if (options.bands) {
        Bands bands = point_bands(c, point, result, &state);
        result.bias_band = bands.sum.bias;
        result.spread_band = bands.sum.spread;
        result.air_band = bands.sum.air;
        result.slot_loss_band = bands.sum.slot_loss;
        result.band_parts = std::move(bands.parts);
        for (const auto& note : bands.left_out) {
            result.notes.push_back(note);
        }
    }
    if (options.final_state != nullptr && c.points.size() == 1) {
        *options.final_state = std::move(state);
    }
    return result;
}

}  // namespace

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
    result.points.resize(c.points.size());
    std::atomic<int> done{0};
    std::atomic<std::size_t> left_out{0};
    study::for_each_job(c.points.size(), options.threads, [&](std::size_t i) {
        if (options.stop != nullptr && options.stop->load()) {
            result.points[i] = not_begun(c.points[i]);
            ++left_out;
            return;
        }
        result.points[i] = solve_one(c, c.points[i], options);
        const int count = ++done;
        if (options.progress) {
            options.progress(count, static_cast<int>(c.points.size()));
        }
    });
    result.left_out = left_out;
    result.summary = verdict_words(result);
    return result;
}

}  // namespace plenair

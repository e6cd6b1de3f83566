#include "cases/study/bands.hpp"
#include "cases/study/parallel.hpp"
#include "cases/study/study.hpp"
#include "geometry/error.hpp"
#include "solver/march/cycle.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <numbers>
#include <utility>
#include <vector>

namespace plenair {

namespace {

double rpm(double speed) {
    return speed * 30.0 / std::numbers::pi;
}

/// Where the end bias changes sign between two neighbouring speeds, one sentence; empty if nowhere.
std::string sign_reversal(const std::vector<PointResult>& points) {
    std::vector<const PointResult*> ordered;
    for (const auto& p : points) {
        if (p.converged) {
            ordered.push_back(&p);
        }
    }
    std::stable_sort(ordered.begin(), ordered.end(), [](const auto* a, const auto* b) {
        return a->speed < b->speed;
    });
    std::string text;
    for (std::size_t i = 0; i + 1 < ordered.size(); ++i) {
        const PointResult& a = *ordered[i];
        const PointResult& b = *ordered[i + 1];
        if (a.end_bias * b.end_bias < 0.0 && b.speed > a.speed) {
            text += fmt::format("{} {:.0f} and {:.0f} rpm",
                                text.empty() ? "between" : ", between",
                                rpm(a.speed),
                                rpm(b.speed));
        }
    }
    return text.empty() ? "" : fmt::format("end bias reverses {}", text);
}

PointResult not_begun(const OperatingPoint& point) {
    PointResult result;
    result.name = point.name;
    result.speed = point.speed;
    result.source_pressure = point.pressure;
    result.source_temperature = point.temperature;
    result.failure = "stopped before it was computed";
    return result;
}

std::string summarise(const std::vector<PointResult>& points) {
    const PointResult* worst = nullptr;
    std::size_t converged = 0;
    for (const auto& p : points) {
        if (p.converged) {
            ++converged;
            if (worst == nullptr || p.spread > worst->spread) {
                worst = &p;
            }
        }
    }
    std::string text;
    if (worst == nullptr) {
        return "no point converged";
    }
    if (converged < points.size()) {
        text = fmt::format("{} of {} points converged; ", converged, points.size());
    }
    const auto most = std::max_element(
        worst->cylinders.begin(), worst->cylinders.end(), [](const auto& a, const auto& b) {
            return a.bias < b.bias;
        });
    text += fmt::format(
        "largest spread {:.1f} % at {} ({:.0f} rpm), where cylinder {} gets the most air, so it "
        "is the leanest on equal fuel",
        100.0 * worst->spread,
        worst->name,
        rpm(worst->speed),
        most->cylinder);
    const std::string reversal = sign_reversal(points);
    text += reversal.empty() ? "; end bias keeps its sign over the points" : "; " + reversal;
    return text;
}

PointResult solve_one(const Case& c, const OperatingPoint& point, const SolveOptions& options) {
    CycleOptions cycle;
    std::vector<double> state;
    cycle.traces = options.traces;
    cycle.start = options.start;
    cycle.final_state = &state;
    PointResult result = solve_point(c.intake, c.engine, point, c.model, cycle);
    if (options.bands) {
        const Band band = bias_band(c, point, result, &state);
        result.bias_band = band.half_width;
        for (const auto& note : band.left_out) {
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
    result.summary = summarise(result.points);
    return result;
}

}  // namespace plenair

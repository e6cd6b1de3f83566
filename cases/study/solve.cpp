#include "cases/study/solve.hpp"
#include "cases/study/case.hpp"
#include "cases/study/chosen_points.hpp"
#include "cases/study/find_reasons.hpp"
#include "cases/study/solve_points.hpp"
#include "cases/study/verdict.hpp"
#include "cases/study/worst_speed.hpp"
#include "geometry/error.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <numeric>
#include <utility>

namespace plenair {

namespace {

/// Of the point with the most spread, which may lie between the steps of a curve.
void add_reasons(const Case& c, const SolveOptions& options, SolveResult& result) {
    const Verdict v = verdict(result);
    if (v.worst) {
        const OperatingPoint point = v.between
                                         ? c.curves.at(*v.between).at(worst_of(result, v).speed)
                                         : c.points.at(*v.worst);
        result.reasons = study::find_reasons(c, point, worst_of(result, v), options.threads);
    }
}

/// The case with those of its points; a curve of which some are missing is left as points.
Case with_points(const Case& c, const std::vector<std::size_t>& chosen) {
    if (chosen.size() == c.points.size()) {
        return c;
    }
    Case part = c;
    part.points.clear();
    part.curves.clear();
    for (const std::size_t p : chosen) {
        for (const SpeedCurve& curve : c.curves) {
            const bool all =
                p == curve.first &&
                std::binary_search(chosen.begin(), chosen.end(), curve.first + curve.count - 1) &&
                std::count_if(chosen.begin(), chosen.end(), [&](std::size_t other) {
                    return other >= curve.first && other < curve.first + curve.count;
                }) == static_cast<std::ptrdiff_t>(curve.count);
            if (all) {
                part.curves.push_back(curve);
                part.curves.back().first = part.points.size();
            }
        }
        part.points.push_back(c.points[p]);
    }
    return part;
}

}  // namespace

SolveResult solve(const Case& whole, const SolveOptions& options) {
    if (!whole.has_engine) {
        throw InputError(
            {whole.path +
             ": no [engine], so no cylinders that share the air; a rig runs with bench"});
    }
    const Case c = with_points(whole, study::chosen_points(whole, options.points, "solve"));
    SolveResult result;
    result.title = c.title;
    result.case_digest = c.digest;
    result.case_text = c.text;
    result.assumed = c.assumed;
    result.units = c.units;
    std::vector<std::size_t> all(c.points.size());
    std::iota(all.begin(), all.end(), std::size_t{0});
    auto solved = study::solve_points(c, c.points, study::runs_of(c, all), options);
    result.points = solved.points;
    result.left_out = solved.left_out;
    for (const SpeedCurve& curve : c.curves) {
        CurveResult& plain = result.curves.emplace_back();
        plain.name = curve.name;
        plain.first = curve.first;
        plain.count = curve.count;
        if (options.refine_curves && result.left_out == 0) {
            std::vector<study::SolvedPoint> steps;
            for (std::size_t p = curve.first; p < curve.first + curve.count; ++p) {
                steps.push_back({solved.points[p], solved.ends[p]});
            }
            study::find_worst(c, curve, steps, options, plain);
        }
    }
    if (options.reasons && result.left_out == 0) {
        add_reasons(c, options, result);
    }
    result.summary = verdict_words(result);
    return result;
}

}  // namespace plenair

#include "cases/study/tolerance_surface.hpp"

#include "cases/base/parallel.hpp"
#include "cases/study/block.hpp"
#include "cases/study/entry.hpp"
#include "solver/ensemble/ensemble.hpp"

#include <algorithm>
#include <cmath>

namespace plenair::study {

namespace {

// Differences of small deviations: more periodic than a sweep.
constexpr double part_tolerance = 3e-6;
constexpr std::size_t most_in_block = 128;

Case part_of(const TolerancePlan& plan, const std::vector<double>& deviations) {
    Case c = plan.base;
    c.text.clear();
    c.echo.clear();
    for (std::size_t k = 0; k < plan.dimensions.size(); ++k) {
        if (deviations[k] != 0.0) {
            plan.dimensions[k].move(c, deviations[k] * plan.dimensions[k].limit);
        }
    }
    if (deviations.size() == plan.dimensions.size()) {
        return c;
    }
    Moved moved{c.model, c.intake, c.engine};
    const auto all = coefficients(plan.base);
    for (std::size_t k = 0; k < all.size(); ++k) {
        const double part = deviations[plan.dimensions.size() + k];
        if (part != 0.0) {
            const Entry& entry = all[k];
            // Straight between value and end, and the end itself to its last digit.
            const double end = part < 0 ? entry.low : entry.high;
            entry.set(
                moved,
                std::abs(part) == 1.0 ? end : entry.value + std::abs(part) * (end - entry.value));
        }
    }
    c.model = moved.model;
    c.intake = std::move(moved.intake);
    c.engine = std::move(moved.engine);
    return c;
}

/// Where every part begins: where the drawn one comes to, and in its steps, so that what parts
/// differ by is not that of the steps (up to 0.02 % of a share).
std::vector<Start> drawn_starts(const TolerancePlan& plan) {
    const Case drawn = part_of(plan, std::vector<double>(plan.dimensions.size(), 0.0));
    Model model = drawn.model;
    model.tolerance = std::max(model.tolerance, part_tolerance);
    std::vector<Variant> points;
    for (const auto& point : drawn.points) {
        points.push_back({&drawn.intake, &model, &drawn.engine, &point});
    }
    std::vector<Start> ends;
    EnsembleOptions options;
    options.warm = false;  // points are no neighbours
    options.ends = &ends;
    (void)solve_ensemble(points, options);
    for (Start& start : ends) {
        start.trapped.clear();  // another part traps other masses
    }
    return ends;
}

}  // namespace

ToleranceSurface::ToleranceSurface(Outputs drawn,
                                   const std::vector<Outputs>& low,
                                   const std::vector<Outputs>& high)
    : drawn_(std::move(drawn)) {
    for (std::size_t k = 0; k < low.size(); ++k) {
        Outputs slope(drawn_.size()), bend(drawn_.size());
        for (std::size_t i = 0; i < drawn_.size(); ++i) {
            slope[i] = 0.5 * (high[k][i] - low[k][i]);
            bend[i] = 0.5 * (high[k][i] + low[k][i]) - drawn_[i];
        }
        slope_.push_back(std::move(slope));
        bend_.push_back(std::move(bend));
    }
}

void ToleranceSurface::at(std::span<const double> deviations, Outputs& y) const {
    y = drawn_;
    for (std::size_t k = 0; k < deviations.size(); ++k) {
        const double u = deviations[k];
        for (std::size_t i = 0; i < y.size(); ++i) {
            y[i] += u * (slope_[k][i] + u * bend_[k][i]);
        }
    }
}

std::vector<Outputs> solve_parts(const TolerancePlan& plan,
                                 const std::vector<std::vector<double>>& deviations,
                                 const ToleranceOptions& options) {
    std::vector<Outputs> outputs(deviations.size());
    const std::size_t chunk =
        std::clamp<std::size_t>((deviations.size() + 1) / 2, 8, most_in_block);
    const std::size_t chunks = (deviations.size() + chunk - 1) / chunk;
    const auto begin = drawn_starts(plan);
    for_each_job(chunks, options.threads, [&](std::size_t job) {
        const std::size_t first = job * chunk;
        const std::size_t last = std::min(deviations.size(), first + chunk);
        std::vector<Case> parts;
        for (std::size_t i = first; i < last; ++i) {
            parts.push_back(part_of(plan, deviations[i]));
        }
        const std::vector<std::vector<Start>> starts(begin.empty() ? 0 : parts.size(), begin);
        BlockOptions block;
        block.tolerance = part_tolerance;
        block.starts = starts;
        block.places = std::span(deviations).subspan(first, last - first);
        block.stop = options.stop;
        const auto outcomes = solve_block(parts, block);
        for (std::size_t i = first; outcomes && i < last; ++i) {
            const auto& points = (*outcomes)[i - first].points;
            outputs[i] = points.empty() ? Outputs{} : outputs_of(points);
        }
    });
    return outputs;
}

}  // namespace plenair::study

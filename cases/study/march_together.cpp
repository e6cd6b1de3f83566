#include "cases/study/march_together.hpp"

#include "geometry/contract.hpp"

#include <algorithm>
#include <utility>

namespace plenair::study {

namespace {

/// a + factor (c - b), number by number.
std::vector<double> sum_of(const std::vector<double>& a,
                           double factor,
                           const std::vector<double>& b,
                           const std::vector<double>& c) {
    if (b.size() != a.size() || c.size() != a.size()) {
        return {};
    }
    std::vector<double> sum(a);
    for (std::size_t i = 0; i < sum.size(); ++i) {
        sum[i] += factor * (c[i] - b[i]);
    }
    return sum;
}

Start shifted(const Start& base, double factor, const Start& from, const Start& to) {
    return {sum_of(base.state, factor, from.state, to.state),
            sum_of(base.trapped, factor, from.trapped, to.trapped),
            std::max(from.contraction, to.contraction),
            base.transport,
            std::max({base.age, from.age, to.age})};
}

}  // namespace

Together march_together(const geometry::Intake& intake,
                        const geometry::Engine& engine,
                        const Model& model,
                        std::span<const OperatingPoint> points,
                        std::span<const Start> starts,
                        Precision precision) {
    Together found;
    if (points.empty()) {
        return found;
    }
    // All that changes along the curve changes with the speed.
    const double first = points.front().speed;
    const double range = std::max(points.back().speed - first, 1.0);
    std::vector<Variant> variants;
    for (std::size_t i = 0; i < points.size(); ++i) {
        variants.push_back({&intake,
                            &model,
                            &engine,
                            &points[i],
                            {(points[i].speed - first) / range},
                            i < starts.size() ? &starts[i] : nullptr});
    }
    std::vector<std::vector<StepPlan>> plans;
    EnsembleOptions options;
    options.precision = precision;
    options.plans = &plans;
    options.ends = &found.ends;
    found.points = solve_ensemble(variants, options);
    for (auto& taken : plans) {
        found.plans.push_back(taken.empty() ? StepPlan{} : std::move(taken.back()));
    }
    return found;
}

Start blended(std::span<const Start* const> ends, const std::vector<double>& weights) {
    PLENAIR_EXPECT(!ends.empty() && ends.size() == weights.size());
    const Start& first = *ends.front();
    Start sum = first;
    std::fill(sum.state.begin(), sum.state.end(), 0.0);
    std::fill(sum.trapped.begin(), sum.trapped.end(), 0.0);
    for (std::size_t k = 0; k < ends.size(); ++k) {
        const Start& end = *ends[k];
        if (end.state.size() != sum.state.size() || end.trapped.size() != sum.trapped.size()) {
            Start alone = first;
            alone.trapped.clear();
            return alone;
        }
        for (std::size_t i = 0; i < sum.state.size(); ++i) {
            sum.state[i] += weights[k] * end.state[i];
        }
        for (std::size_t i = 0; i < sum.trapped.size(); ++i) {
            sum.trapped[i] += weights[k] * end.trapped[i];
        }
        sum.age = std::max(sum.age, end.age);
    }
    return sum;
}

Start between(const Start& a, const Start& b, double part) {
    return shifted(a, part, a, b);
}

Start moved_along(const Start& base, const Start& from, const Start& to) {
    return shifted(base, 1.0, from, to);
}

}  // namespace plenair::study

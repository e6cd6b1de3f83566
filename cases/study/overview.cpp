#include "cases/study/overview.hpp"

#include <algorithm>
#include <limits>
#include <numeric>

#include <fmt/format.h>

namespace plenair {

std::size_t Overview::failed() const {
    return static_cast<std::size_t>(
        std::count_if(variants.begin(), variants.end(), [](const auto& variant) {
            return !variant.failure.empty();
        }));
}

OverviewVariant overview_of(const std::vector<PointResult>& points) {
    OverviewVariant made;
    const auto count = static_cast<double>(points.size());
    for (const auto& point : points) {
        if (!point.converged) {
            made.failure = fmt::format("{}: {}", point.name, point.failure);
            return made;
        }
        if (made.worst_point.empty() || point.spread > made.worst_spread) {
            made.worst_spread = point.spread;
            made.worst_point = point.name;
        }
        const double loss =
            point.throttle_loss + point.slot_loss + point.mouth_loss + point.port_loss;
        made.loss += loss / point.source_pressure / count;
        made.air_flow += point.air_flow / count;
    }
    if (points.empty()) {
        made.failure = "no points";
    }
    return made;
}

void mark_front(Overview& overview) {
    std::vector<std::size_t> order;
    for (std::size_t i = 0; i < overview.variants.size(); ++i) {
        overview.variants[i].front = false;
        if (overview.variants[i].failure.empty()) {
            order.push_back(i);
        }
    }
    const auto& all = overview.variants;
    std::stable_sort(order.begin(), order.end(), [&all](std::size_t a, std::size_t b) {
        return all[a].loss != all[b].loss ? all[a].loss < all[b].loss
                                          : all[a].worst_spread < all[b].worst_spread;
    });
    double least = std::numeric_limits<double>::infinity();
    for (const std::size_t i : order) {
        if (all[i].worst_spread < least) {
            least = all[i].worst_spread;
            overview.variants[i].front = true;
        }
    }
}

std::vector<std::size_t> ranking(const Overview& overview, double target) {
    std::vector<std::size_t> order(overview.variants.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const auto& all = overview.variants;
    std::erase_if(order, [&all](std::size_t i) { return !all[i].failure.empty(); });
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        const bool meets_a = all[a].worst_spread <= target, meets_b = all[b].worst_spread <= target;
        if (meets_a != meets_b) {
            return meets_a;
        }
        return meets_a ? all[a].loss < all[b].loss : all[a].worst_spread < all[b].worst_spread;
    });
    return order;
}

Overview overview_of(const CompareResult& result) {
    Overview overview;
    overview.kind = "Comparison";
    overview.title = result.title;
    overview.case_digest = result.case_digest;
    overview.case_text = result.case_text;
    overview.inputs = {{result.key, false, "1", ""}};
    for (std::size_t v = 0; v < result.values.size(); ++v) {
        auto variant = overview_of(result.results.at(v));
        variant.number = v + 1;
        variant.inputs = {{0, result.values[v]}};
        overview.variants.push_back(std::move(variant));
    }
    if (!result.results.empty()) {
        for (const auto& point : result.results.front()) overview.points.push_back(point.name);
    }
    mark_front(overview);
    return overview;
}

}  // namespace plenair

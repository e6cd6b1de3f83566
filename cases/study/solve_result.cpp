#include "cases/study/solve_result.hpp"

#include <algorithm>

/// What a result of solve tells of itself; whoever reads one back needs this and no march.
namespace plenair {

const CurveResult* SolveResult::curve_of(std::size_t point) const {
    const auto found = std::find_if(curves.begin(), curves.end(), [point](const auto& curve) {
        return point >= curve.first && point < curve.first + curve.count;
    });
    return found == curves.end() ? nullptr : &*found;
}

std::vector<std::vector<const PointResult*>> SolveResult::groups() const {
    std::vector<std::vector<const PointResult*>> all(1 + curves.size());
    for (std::size_t i = 0; i < points.size(); ++i) {
        const auto* curve = curve_of(i);
        all[curve == nullptr ? 0 : 1 + static_cast<std::size_t>(curve - curves.data())].push_back(
            &points[i]);
    }
    return all;
}

std::vector<const PointResult*> SolveResult::telling() const {
    std::vector<const PointResult*> told;
    const auto all = groups();
    for (std::size_t g = 0; g < all.size(); ++g) {
        const auto& group = all[g];
        if (g == 0 || group.size() <= telling_of_curve) {
            told.insert(told.end(), group.begin(), group.end());
            continue;
        }
        const auto worst =
            std::max_element(group.begin(), group.end(), [](const auto* a, const auto* b) {
                return a->spread < b->spread;
            });
        for (auto point = group.begin(); point != group.end(); ++point) {
            const auto i = static_cast<std::size_t>(point - group.begin());
            if (i == 0 || i == group.size() / 2 || i + 1 == group.size() || point == worst) {
                told.push_back(*point);
            }
        }
    }
    return told;
}

bool SolveResult::converged() const {
    return std::all_of(points.begin(), points.end(), [](const auto& p) { return p.converged; });
}

}  // namespace plenair

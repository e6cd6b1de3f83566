#include "cases/study/trim_parts.hpp"

#include <algorithm>

namespace plenair::study {

namespace {

FixedTrim fixed_trim(const TrimPoint& from, const TrimPoint& at) {
    // Points of one case have the same cylinders in the same order.
    constexpr double shown = 5e-4;  // less does not show in print
    FixedTrim fixed;
    fixed.from = from.name;
    fixed.at = at.name;
    fixed.spread_untrimmed = at.spread;
    double least = 0.0, most = 0.0;
    for (std::size_t i = 0; i < at.cylinders.size(); ++i) {
        const double air_over_fuel = (1.0 + at.cylinders[i].bias) / from.cylinders.at(i).multiplier;
        if (i == 0 || air_over_fuel > most) {
            most = air_over_fuel;
            fixed.leanest = at.cylinders[i].cylinder;
        }
        least = i == 0 ? air_over_fuel : std::min(least, air_over_fuel);
    }
    fixed.spread_fixed = most - least;
    fixed.lean_margin = at.lambda * (most - 1.0);
    fixed.worse = fixed.spread_fixed > fixed.spread_untrimmed + shown;
    return fixed;
}

}  // namespace

std::vector<FixedTrim> fixed_trims(const std::vector<TrimPoint>& points) {
    std::vector<FixedTrim> all;
    for (const auto& from : points) {
        for (const auto& at : points) {
            if (from.issued && at.issued) {
                all.push_back(fixed_trim(from, at));
            }
        }
    }
    return all;
}

}  // namespace plenair::study

#include "geometry/output_units.hpp"

#include <algorithm>
#include <array>

namespace plenair::geometry {

namespace {

/// A unit of the metric system, the one in its place, and by how many more decimals that is read.
struct Pair {
    std::string_view metric, inch;
    int more_decimals;
};

constexpr std::array pairs{
    Pair{"mm", "in", 2}, Pair{"mm2", "in2", 2}, Pair{"cc", "in3", 1}, Pair{"L", "in3", -1}};

const Pair* pair_of(std::string_view unit) {
    const auto* found =
        std::find_if(pairs.begin(), pairs.end(), [&](const Pair& p) { return p.metric == unit; });
    return found == pairs.end() ? nullptr : found;
}

}  // namespace

std::string_view OutputUnits::in_place_of(std::string_view metric_unit) const {
    const Pair* pair = pair_of(metric_unit);
    return pair != nullptr && inches() ? pair->inch : metric_unit;
}

int OutputUnits::decimals(std::string_view metric_unit, int decimals) const {
    const Pair* pair = pair_of(metric_unit);
    return pair != nullptr && inches() ? std::max(0, decimals + pair->more_decimals) : decimals;
}

}  // namespace plenair::geometry

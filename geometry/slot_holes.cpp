#include "geometry/slot_holes.hpp"

#include "geometry/contract.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace plenair::geometry {

namespace {

constexpr double rounding_of_lengths = 1e-9;  ///< of decimal ones [m]

}  // namespace

bool is_round(const SlotHole& hole) {
    return std::abs(hole.hydraulic_diameter - hole.length) < rounding_of_lengths &&
           hole.area < 0.9 * hole.length * hole.length;
}

double hole_width(const SlotHole& hole) {
    if (is_round(hole)) {
        return hole.length;
    }
    PLENAIR_EXPECT(hole.length > 0);
    // Two sides of a rectangle: Dh = 2 A/(length + width).
    const double width =
        hole.hydraulic_diameter > 0 ? 2 * hole.area / hole.hydraulic_diameter - hole.length : 0;
    return width > 0 ? width : hole.area / hole.length;
}

SlotHole widened(const SlotHole& hole, double change) {
    SlotHole result = hole;
    if (is_round(hole)) {
        result.length = std::max(hole.length + change, 0.0);
        result.hydraulic_diameter = result.length;
        result.area = std::numbers::pi / 4 * result.length * result.length;
    } else {
        const double width = std::max(hole_width(hole) + change, 0.0);
        result.area = hole.length * width;
        result.hydraulic_diameter = 2 * result.area / (hole.length + width);
    }
    return result;
}

}  // namespace plenair::geometry

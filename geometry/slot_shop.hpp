#pragma once

#include <algorithm>

/// What the shop must know of a slot beyond the air's passage: how its ends look, where it stands
/// across the wall, how square it is cut. No result depends on it: air is computed through a slot
/// with square ends.
namespace plenair::geometry {

enum class SlotEnds {
    full_radius,  ///< as an end mill of the slot's width leaves them
    square,
    cutter  ///< corners with the radius of a cutter smaller than the slot
};

struct SlotShop {
    SlotEnds ends = SlotEnds::full_radius;  ///< lengths are measured over all, end to end
    bool ends_stated = false;  ///< else the default, and what is printed says so
    double cutter = 0;  ///< diameter of the cutter that leaves the corners [m]
    /// Centre line of the slot from the middle of the wall [m]; + is up for someone who looks from
    /// the pre-chamber with x = 0 on the left.
    double offset = 0;
    double squareness = 5e-5;  ///< of the land to the wall's face, over the land's thickness [m]

    /// Radius of the corners where the half width of the slot is `half` [m].
    [[nodiscard]] double corner(double half) const {
        switch (ends) {
            case SlotEnds::full_radius:
                return half;
            case SlotEnds::cutter:
                return std::min(0.5 * cutter, half);
            case SlotEnds::square:
                break;
        }
        return 0;
    }
};

}  // namespace plenair::geometry

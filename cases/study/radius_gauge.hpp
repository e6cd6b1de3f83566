#pragma once

#include <optional>

namespace plenair {

/// Radius gauges of a usual set that judge a radius with limits [m]. Sets go in quarters of a mm to
/// 3 mm and in halves above, or in 64ths of an inch to 17/64 and in 32nds above (common practice).
struct RadiusGauges {
    std::optional<double>
        fits;  ///< the one nearest the drawn radius inside the limits; empty: none
    double below = 0;  ///< the largest that is smaller than all that is allowed; 0: none so small
    double above = 0;  ///< the smallest that is larger than all that is allowed
};

/// @param low, nominal, high  allowed and drawn radius [m]
/// @param inches  whether the set is in fractions of an inch
[[nodiscard]] RadiusGauges radius_gauges(double low, double nominal, double high, bool inches);

}  // namespace plenair

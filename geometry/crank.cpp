#include "geometry/contract.hpp"
#include "geometry/elementary.hpp"
#include "geometry/intake.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <stdexcept>
#include <string>

namespace plenair::geometry {

double Engine::swept_volume() const {
    return 0.25 * std::numbers::pi * bore * bore * stroke;
}

double Engine::clearance_volume() const {
    PLENAIR_EXPECT(compression_ratio > 1);
    return swept_volume() / (compression_ratio - 1);
}

// Heywood 1988, eq. 2.6, with the crank radius a = stroke / 2 and R = rod / a.
double Engine::volume(double angle) const {
    PLENAIR_EXPECT(stroke > 0 && 2 * rod > stroke);
    const double ratio = 2 * rod / stroke;
    const double sine = arithmetic::sin(angle);
    const double travel =
        ratio + 1 - arithmetic::cos(angle) - std::sqrt(ratio * ratio - sine * sine);
    return clearance_volume() + 0.5 * swept_volume() * travel;
}

double Engine::volume_rate(double angle) const {
    PLENAIR_EXPECT(stroke > 0 && 2 * rod > stroke);
    const double ratio = 2 * rod / stroke;
    const double sine = arithmetic::sin(angle);
    const double cosine = arithmetic::cos(angle);
    return 0.5 * swept_volume() * sine * (1 + cosine / std::sqrt(ratio * ratio - sine * sine));
}

double Engine::firing_angle(int cylinder) const {
    PLENAIR_EXPECT(firing_angles.size() == firing_order.size());
    return firing_angles.at(static_cast<std::size_t>(firing_position(cylinder) - 1));
}

int Engine::firing_position(int cylinder) const {
    const auto found = std::find(firing_order.begin(), firing_order.end(), cylinder);
    if (found == firing_order.end()) {
        throw std::invalid_argument("cylinder " + std::to_string(cylinder) +
                                    " is not in the firing order");
    }
    return static_cast<int>(found - firing_order.begin()) + 1;
}

}  // namespace plenair::geometry

#include "cases/study/lid_force.hpp"
#include "cases/study/case.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace plenair {

std::optional<LidForce> lid_force(const Case& c) {
    double highest = 0;
    for (const auto& point : c.points) highest = std::max(highest, point.pressure - c.barometer);
    std::optional<LidForce> found;
    for (const auto& bank : c.intake.banks) {
        if (!bank.plenum || !(highest > 0)) continue;
        const auto& plenum = *bank.plenum;
        const double section = plenum.volume() / plenum.length;
        LidForce lid;
        lid.bank = c.intake.banks.size() > 1 ? bank.name : "";
        lid.length = plenum.length;
        lid.width_stated = plenum.height.has_value();
        lid.width =
            lid.width_stated ? section / *plenum.height : 2 * std::sqrt(section / std::numbers::pi);
        lid.gauge_pressure = highest;
        lid.force = lid.length * lid.width * highest;
        if (!found || lid.force > found->force) found = lid;
    }
    return found;
}

}  // namespace plenair

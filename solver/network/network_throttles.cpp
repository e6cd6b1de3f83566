#include "solver/network/network_builder.hpp"

#include "solver/arithmetic/real.hpp"

#include <algorithm>
#include <cmath>

namespace plenair {

void NetworkBuilder::add_jet(int index, bool at_start, double cd_a, double recovery) {
    Chain& chain = n_.chains[static_cast<std::size_t>(index)];
    (at_start ? chain.start_effective_area : chain.end_effective_area) = cd_a;
    (at_start ? chain.start : chain.end) = EndKind::throttle;
    if (recovery > 0.0) {
        // No jet: the recovery says what becomes of it.
        (at_start ? chain.start_diffuser : chain.end_diffuser) = 1.0 / (1.0 - recovery);
        return;
    }
    const auto face = static_cast<std::size_t>(at_start ? chain.first : chain.first + chain.count);
    const double duct = n_.face_area[face];
    const double step = 0.5 * (equal_diameter(duct) - equal_diameter(cd_a));
    if (!n_.model.jet || step <= 1e-6) {
        return;
    }
    const double mixing = n_.model.mixing_length * step;
    chain.jet = true;
    chain.jet_decay = arithmetic::exp(-chain.dx / mixing);
    // Beyond two the rate would limit the step for nothing: the jet is gone within the cell.
    chain.jet_rate = std::min(chain.dx / mixing / (1.0 - chain.jet_decay), 2.0);
    any_jet_ = true;
}

void NetworkBuilder::add_throttles(const geometry::Bank& bank,
                                   int pre,
                                   int plenum,
                                   const OperatingPoint* point) {
    for (const auto& throttle : bank.throttles) {
        const int index =
            throttle.feeds == geometry::FeedTarget::pre_chamber && pre >= 0 ? pre : plenum;
        const double cd_a =
            throttle.effective_area(point != nullptr ? point->throttle_angle : std::nullopt);
        if (throttle.position == geometry::FeedPosition::start) {
            add_jet(index, true, cd_a, throttle.recovery);
        } else if (throttle.position == geometry::FeedPosition::end) {
            add_jet(index, false, cd_a, throttle.recovery);
        } else {
            Passage p;
            p.from_room = n_.source;
            p.to = hole_footprint(index, throttle.x, throttle.bore);
            p.area = cd_a;
            // Air column of a hole in a wall: 0.85 radius on both sides (piston in a baffle).
            p.inertance = 2.0 * 0.85 * 0.5 * equal_diameter(cd_a) / cd_a;
            p.x = throttle.x;
            p.length = throttle.bore;
            p.source = true;
            p.hydraulic_diameter = equal_diameter(cd_a);
            n_.discharges.push_back(laws::SlotDischarge::measured(1.0, false));
            p.discharge = p.discharge_reverse = static_cast<int>(n_.discharges.size()) - 1;
            n_.passages.push_back(p);
        }
    }
}

}  // namespace plenair

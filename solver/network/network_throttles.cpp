#include "solver/network/network_builder.hpp"

#include "solver/arithmetic/real.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace plenair {

void NetworkBuilder::add_end_feed(const EndFeed& feed) {
    const bool at_start = feed.at_start;
    Chain& chain = n_.chains[static_cast<std::size_t>(feed.chain)];
    (at_start ? chain.start_effective_area : chain.end_effective_area) = feed.cd_a;
    (at_start ? chain.start : chain.end) = EndKind::throttle;
    if (feed.recovery > 0.0) {
        // No jet: the recovery says what becomes of it.
        (at_start ? chain.start_diffuser : chain.end_diffuser) = 1.0 / (1.0 - feed.recovery);
        return;
    }
    const auto face = static_cast<std::size_t>(at_start ? chain.first : chain.first + chain.count);
    // Jets side by side fill a part of the section each.
    const double duct = n_.face_area[face] / feed.throttles;
    const double step = 0.5 * (equal_diameter(duct) - equal_diameter(feed.cd_a / feed.throttles));
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
    std::vector<EndFeed> ends;
    for (const auto& throttle : bank.throttles) {
        const int index =
            throttle.feeds == geometry::FeedTarget::pre_chamber && pre >= 0 ? pre : plenum;
        const double cd_a =
            throttle.effective_area(point != nullptr ? point->throttle_angle : std::nullopt);
        if (throttle.position != geometry::FeedPosition::side) {
            const bool at_start = throttle.position == geometry::FeedPosition::start;
            const auto known = std::find_if(ends.begin(), ends.end(), [&](const EndFeed& each) {
                return each.chain == index && each.at_start == at_start;
            });
            if (known == ends.end()) {
                ends.push_back({index, at_start, 1, cd_a, throttle.recovery});
            } else {
                known->recovery = (known->recovery * known->cd_a + throttle.recovery * cd_a) /
                                  (known->cd_a + cd_a);
                known->cd_a += cd_a;
                ++known->throttles;
            }
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
    for (const EndFeed& feed : ends) {
        add_end_feed(feed);
    }
}

}  // namespace plenair

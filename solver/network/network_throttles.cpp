#include "solver/network/network_builder.hpp"

#include "solver/arithmetic/real.hpp"

#include <algorithm>
#include <cmath>

namespace plenair {

namespace {

constexpr double least_step = 1e-6;  ///< between bore of jet and chamber, for a jet to form [m]

/// How far the bore of a chamber stands back from that of the jet [m].
double jet_step(const Network& n, const ThrottlePlace& place, double cd_a) {
    const Chain& chain = n.chains[static_cast<std::size_t>(place.chain)];
    const auto face =
        static_cast<std::size_t>(place.at_start ? chain.first : chain.first + chain.count);
    return 0.5 * (equal_diameter(n.face_area[face]) - equal_diameter(cd_a));
}

}  // namespace

void set_throttle(Network& n, const ThrottlePlace& place, double cd_a) {
    if (place.passage >= 0) {
        Passage& p = n.passages[static_cast<std::size_t>(place.passage)];
        p.area = cd_a;
        // Air column of a hole in a wall: 0.85 radius on both sides (piston in a baffle).
        p.inertance = 2.0 * 0.85 * 0.5 * equal_diameter(cd_a) / cd_a;
        p.hydraulic_diameter = equal_diameter(cd_a);
        return;
    }
    Chain& chain = n.chains[static_cast<std::size_t>(place.chain)];
    (place.at_start ? chain.start_effective_area : chain.end_effective_area) = cd_a;
    if (!place.jet) {
        return;
    }
    const double mixing = n.model.mixing_length * std::max(jet_step(n, place, cd_a), least_step);
    chain.jet_decay = arithmetic::exp(-chain.dx / mixing);
    // Beyond two the rate would limit the step for nothing: the jet is gone within the cell.
    chain.jet_rate = std::min(chain.dx / mixing / (1.0 - chain.jet_decay), 2.0);
}

void NetworkBuilder::add_jet(ThrottlePlace& place, double cd_a, double recovery) {
    Chain& chain = n_.chains[static_cast<std::size_t>(place.chain)];
    (place.at_start ? chain.start : chain.end) = EndKind::throttle;
    if (recovery > 0.0) {
        // No jet: the recovery says what becomes of it.
        (place.at_start ? chain.start_diffuser : chain.end_diffuser) = 1.0 / (1.0 - recovery);
    } else if (n_.model.jet && jet_step(n_, place, cd_a) > least_step) {
        place.jet = chain.jet = any_jet_ = true;
    }
    set_throttle(n_, place, cd_a);
}

void NetworkBuilder::add_throttles(const geometry::Bank& bank,
                                   int pre,
                                   int plenum,
                                   std::optional<double> angle) {
    ThrottlePlace place;
    place.bank = static_cast<std::size_t>(&bank - intake_.banks.data());
    for (; place.throttle < bank.throttles.size(); ++place.throttle) {
        const auto& throttle = bank.throttles[place.throttle];
        const double cd_a = throttle.effective_area(angle);
        place.chain =
            throttle.feeds == geometry::FeedTarget::pre_chamber && pre >= 0 ? pre : plenum;
        place.at_start = throttle.position == geometry::FeedPosition::start;
        place.passage = -1;
        place.jet = false;
        if (throttle.position != geometry::FeedPosition::side) {
            add_jet(place, cd_a, throttle.recovery);
        } else {
            Passage p;
            p.from_room = n_.source;
            p.to = hole_footprint(place.chain, throttle.x, throttle.bore);
            p.x = throttle.x;
            p.length = throttle.bore;
            p.source = true;
            n_.discharges.push_back(laws::SlotDischarge::measured(1.0, false));
            p.discharge = p.discharge_reverse = static_cast<int>(n_.discharges.size()) - 1;
            place.passage = static_cast<int>(n_.passages.size());
            n_.passages.push_back(p);
            set_throttle(n_, place, cd_a);
        }
        n_.throttles.push_back(place);
    }
}

}  // namespace plenair

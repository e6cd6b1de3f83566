#include "geometry/contract.hpp"
#include "solver/network/fixed_numbers.hpp"
#include "solver/network/network_builder.hpp"

#include "solver/arithmetic/real.hpp"

#include <algorithm>
#include <cmath>

namespace plenair {

namespace {

constexpr double least_step = 1e-6;  ///< between bore of jet and chamber, for a jet to form [m]

/// Throttles in one wall: one opening with the sum of their areas and their mean recovery.
struct Opening {
    double cd_a = 0;  ///< of all [m2]
    double recovery = 0;  ///< mean over the areas
};

Opening opening_of(const geometry::Bank& bank,
                   const ThrottlePlace& place,
                   std::optional<double> angle) {
    PLENAIR_EXPECT(!place.throttles.empty() && place.throttles.back() < bank.throttles.size());
    Opening all;
    double recovered = 0.0;
    for (const std::size_t i : place.throttles) {
        const auto& throttle = bank.throttles[i];
        const double cd_a = throttle.effective_area(angle);
        all.cd_a += cd_a;
        recovered += throttle.recovery * cd_a;
    }
    all.recovery = place.throttles.size() == 1 ? bank.throttles[place.throttles.front()].recovery
                                               : recovered / all.cd_a;
    return all;
}

/// How far the bore of a chamber stands back from that of the jet [m]; jets side by side fill a
/// part of the section each.
double jet_step(const Network& n, const ThrottlePlace& place, double cd_a) {
    const Chain& chain = n.chains[static_cast<std::size_t>(place.chain)];
    const auto face =
        static_cast<std::size_t>(place.at_start ? chain.first : chain.first + chain.count);
    const auto throttles = static_cast<double>(place.throttles.size());
    return 0.5 * (equal_diameter(n.face_area[face] / throttles) - equal_diameter(cd_a / throttles));
}

void set_opening(Network& n, const ThrottlePlace& place, const Opening& opening) {
    const double cd_a = opening.cd_a;
    if (place.passage >= 0) {
        Passage& p = n.passages[static_cast<std::size_t>(place.passage)];
        p.area = cd_a;
        // Air column of a hole in a wall: its end corrections on both sides.
        p.inertance = 2.0 * end_correction * 0.5 * equal_diameter(cd_a) / cd_a;
        p.hydraulic_diameter = equal_diameter(cd_a);
        return;
    }
    Chain& chain = n.chains[static_cast<std::size_t>(place.chain)];
    (place.at_start ? chain.start_effective_area : chain.end_effective_area) = cd_a;
    if (opening.recovery > 0.0) {
        (place.at_start ? chain.start_diffuser : chain.end_diffuser) =
            1.0 / (1.0 - opening.recovery);
    }
    if (!place.jet) {
        return;
    }
    const double mixing = n.model.mixing_length * std::max(jet_step(n, place, cd_a), least_step);
    chain.jet_decay = arithmetic::exp(-chain.dx / mixing);
    // Beyond two the rate would limit the step for nothing: the jet is gone within the cell.
    chain.jet_rate = std::min(chain.dx / mixing / (1.0 - chain.jet_decay), 2.0);
}

}  // namespace

void set_throttles(Network& n, const geometry::Intake& intake, std::optional<double> angle) {
    for (const ThrottlePlace& place : n.throttles) {
        PLENAIR_EXPECT(static_cast<std::size_t>(place.bank) < intake.banks.size());
        const auto& bank = intake.banks[static_cast<std::size_t>(place.bank)];
        set_opening(n, place, opening_of(bank, place, angle));
    }
}

void NetworkBuilder::add_throttles(const geometry::Bank& bank,
                                   int pre,
                                   int plenum,
                                   std::optional<double> angle) {
    std::vector<ThrottlePlace> places;
    for (std::size_t i = 0; i < bank.throttles.size(); ++i) {
        const auto& throttle = bank.throttles[i];
        ThrottlePlace place;
        place.bank = bank_;
        place.throttles = {i};
        place.chain =
            throttle.feeds == geometry::FeedTarget::pre_chamber && pre >= 0 ? pre : plenum;
        place.at_start = throttle.position == geometry::FeedPosition::start;
        if (throttle.position == geometry::FeedPosition::side) {
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
            places.push_back(place);
            continue;
        }
        const auto known = std::find_if(places.begin(), places.end(), [&](const auto& each) {
            return each.passage < 0 && each.chain == place.chain && each.at_start == place.at_start;
        });
        if (known == places.end()) {
            places.push_back(place);
        } else {
            known->throttles.push_back(i);
        }
    }
    for (ThrottlePlace& place : places) {
        const Opening opening = opening_of(bank, place, angle);
        if (place.passage < 0) {
            Chain& chain = n_.chains[static_cast<std::size_t>(place.chain)];
            (place.at_start ? chain.start : chain.end) = EndKind::throttle;
            // Of a diffuser the recovery says what becomes of the jet.
            place.jet = opening.recovery <= 0.0 && n_.model.jet &&
                        jet_step(n_, place, opening.cd_a) > least_step;
            chain.jet |= place.jet;
            any_jet_ |= place.jet;
        }
        set_opening(n_, place, opening);
        n_.throttles.push_back(place);
    }
}

}  // namespace plenair

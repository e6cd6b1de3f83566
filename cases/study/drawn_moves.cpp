#include "cases/study/drawn_moves.hpp"

#include "geometry/quantity.hpp"
#include "geometry/runner_metal.hpp"
#include "geometry/slot_holes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>

namespace plenair::study {

namespace {

using geometry::Bank;
using geometry::Intake;
using geometry::Profile;

Profile scaled(const Profile& profile, double factor) {
    auto value = profile.value();
    for (double& each : value) {
        each *= factor;
    }
    return Profile::stations(profile.x(), value);
}

double mean_of(const Profile& profile) {
    const auto& x = profile.x();
    return x.size() < 2 ? profile.at(0) : profile.mean(x.front(), x.back());
}

/// One kind of dimension: its size where a bank has it (0: it has not), and how to scale it.
struct Kind {
    const char* key;
    const char* unit;
    std::function<double(const Bank&)> size;
    std::function<void(Bank&, double)> scale;
};

using ChamberOf = std::optional<geometry::Chamber> Bank::*;

void add_chamber(std::vector<Kind>& kinds, const char* area, const char* length, ChamberOf member) {
    kinds.push_back({area,
                     "mm2",
                     [member](const Bank& b) {
                         const auto& chamber = b.*member;
                         return chamber ? chamber->area.mean(0, chamber->length) : 0.0;
                     },
                     [member](Bank& b, double factor) {
                         auto& chamber = b.*member;
                         chamber->area = scaled(chamber->area, factor);
                         chamber->perimeter.reset();
                     }});
    kinds.push_back({length,
                     "mm",
                     [member](const Bank& b) { return b.*member ? (b.*member)->length : 0.0; },
                     [member](Bank& b, double factor) { (b.*member)->length *= factor; }});
}

void add_slot(std::vector<Kind>& kinds) {
    const auto drawn = [](const Bank& b) { return b.slot && !b.slot->pieces.empty(); };
    kinds.push_back(
        {"slot.width",
         "mm",
         [drawn](const Bank& b) { return drawn(b) ? mean_of(b.slot->pieces.front().width) : 0.0; },
         [](Bank& b, double factor) {
             for (auto& piece : b.slot->pieces) {
                 piece.width = scaled(piece.width, factor);
             }
         }});
    for (const bool round : {true, false}) {
        const auto bored = [round](const Bank& b) {
            return b.slot && !b.slot->holes.empty() &&
                   geometry::is_round(b.slot->holes.front()) == round;
        };
        kinds.push_back({round ? "slot.holes.diameter" : "slot.holes.width",
                         "mm",
                         [bored](const Bank& b) {
                             return bored(b) ? geometry::hole_width(b.slot->holes.front()) : 0.0;
                         },
                         [](Bank& b, double factor) {
                             for (auto& hole : b.slot->holes) {
                                 hole = geometry::widened(
                                     hole, (factor - 1) * geometry::hole_width(hole));
                             }
                         }});
    }
    kinds.push_back(
        {"slot.edge_radius",
         "mm",
         [](const Bank& b) { return b.slot && !b.slot->cd ? b.slot->edge_radius : 0.0; },
         [](Bank& b, double factor) { b.slot->edge_radius *= factor; }});
    kinds.push_back({"slot.land",
                     "mm",
                     [](const Bank& b) { return b.slot && !b.slot->cd ? b.slot->land : 0.0; },
                     [](Bank& b, double factor) { b.slot->land *= factor; }});
}

void add_runners(std::vector<Kind>& kinds) {
    using geometry::Runner;
    const auto mean = [](const Bank& b, const auto& member) {
        double sum = 0;
        for (const auto& runner : b.runners) {
            sum += member(runner);
        }
        return b.runners.empty() ? 0.0 : sum / static_cast<double>(b.runners.size());
    };
    kinds.push_back({"runner.length",
                     "mm",
                     [mean](const Bank& b) { return mean(b, geometry::flange_length); },
                     [](Bank& b, double factor) {
                         for (auto& r : b.runners) {
                             change_length(r, (factor - 1) * flange_length(r));
                         }
                     }});
    kinds.push_back(
        {"runner.diameter",
         "mm",
         [mean](const Bank& b) {
             return mean(b, [](const Runner& r) { return r.diameter.mean(0, flange_length(r)); });
         },
         [](Bank& b, double factor) {
             for (auto& r : b.runners) {
                 change_bore(r, [factor](double d) { return factor * d; });
             }
         }});
}

const std::vector<Kind>& all_kinds() {
    static const std::vector<Kind> all = [] {
        std::vector<Kind> kinds;
        add_slot(kinds);
        add_chamber(kinds, "pre_chamber.area", "pre_chamber.length", &Bank::pre_chamber);
        add_chamber(kinds, "plenum.area", "plenum.length", &Bank::plenum);
        add_runners(kinds);
        kinds.push_back(
            {"throttle.bore",
             "mm",
             [](const Bank& b) { return b.throttles.empty() ? 0.0 : b.throttles.front().bore; },
             [](Bank& b, double factor) {
                 for (auto& throttle : b.throttles) {
                     throttle.bore *= factor;
                 }
             }});
        return kinds;
    }();
    return all;
}

}  // namespace

std::vector<DrawnMove> drawn_moves(const Intake& intake, double part, geometry::OutputUnits units) {
    std::vector<DrawnMove> moves;
    for (const auto& kind : all_kinds()) {
        double size = 0;
        Intake changed = intake;
        for (auto& bank : changed.banks) {
            const double own = kind.size(bank);
            if (own > 0) {
                size = size > 0 ? size : own;
                kind.scale(bank, 1 + part);
            }
        }
        if (size > 0) {
            const std::string unit(units.in_place_of(kind.unit));
            const bool fine = geometry::to_unit(part * size, kind.unit) < 10;
            moves.push_back({kind.key,
                             fmt::format("{:+.{}f} {}",
                                         geometry::to_unit(part * size, unit),
                                         units.decimals(kind.unit, fine ? 1 : 0),
                                         unit),
                             std::move(changed)});
        }
    }
    return moves;
}

}  // namespace plenair::study

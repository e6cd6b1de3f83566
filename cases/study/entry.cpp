#include "cases/study/entry.hpp"

#include "cases/study/case.hpp"
#include "cases/study/learned.hpp"
#include "cases/study/model_numbers.hpp"
#include "solver/laws/mouth.hpp"

#include <algorithm>
#include <utility>

namespace plenair {

namespace {

constexpr double slot_uncertainty = 0.05;  // of a discharge coefficient (docs/theory.md)
constexpr double throttle_uncertainty = 0.10;
constexpr double mouth_uncertainty = 0.035;  // of 1/sqrt(1 + K0): scatter of six published laws
// In units of the coefficient (Annand and Roe 1974, memory).
constexpr double valve_uncertainty = 0.05;

void change_widths(geometry::Intake& intake, double factor, double offset) {
    for (auto& bank : intake.banks) {
        if (!bank.slot) {
            continue;
        }
        for (auto& piece : bank.slot->pieces) {
            std::vector<double> width = piece.width.value();
            for (double& w : width) {
                w = std::max(w * factor + offset, 1e-6);
            }
            piece.width = geometry::Profile::stations(piece.width.x(), width);
        }
        for (auto& hole : bank.slot->holes) {
            hole.area *= factor;
        }
    }
}

/// Brings the size of the first slot from `drawn` to `x`; another slot keeps its distance to it.
void move_slots(Moved& v, double geometry::Slot::*size, double drawn, double x) {
    for (auto& bank : v.intake.banks) {
        if (bank.slot) {
            double& value = (*bank.slot).*size;
            value = value == drawn ? x : std::max(value + (x - drawn), 1e-6);
        }
    }
}

/// Cd and width enter the flow as one product; a change of width stands for one of Cd.
void scale_slots(Moved& v, double factor) {
    change_widths(v.intake, factor, 0);
}

void scale_throttles(Moved& v, double factor) {
    for (auto& bank : v.intake.banks) {
        for (auto& throttle : bank.throttles) {
            throttle.cd = std::min(throttle.cd * factor, 1.0);
            if (throttle.cd_table) {
                for (double& cd : throttle.cd_table->cd) {
                    cd = std::min(cd * factor, 1.0);
                }
            }
        }
    }
}

/// More is lost above 1, as the entry's name says: 1/sqrt(1 + loss) times 2 - factor.
void scale_mouths(Moved& v, double factor) {
    for (auto& bank : v.intake.banks) {
        for (auto& runner : bank.runners) {
            const double loss =
                runner.entry_loss ? *runner.entry_loss
                : v.model.entry_loss
                    ? *v.model.entry_loss
                    : laws::mouth_loss(runner.bell_radius / runner.mouth_diameter());
            const double less = 2.0 - factor;
            runner.entry_loss = std::max((1.0 + loss) / (less * less) - 1.0, 0.0);
        }
    }
}

void shift_valves(Moved& v, double shift) {
    for (auto* valve : {&v.engine.intake, &v.engine.exhaust}) {
        for (double& cd : valve->cd.cd) {
            cd = std::clamp(cd + shift, 0.5 * cd, 1.0);
        }
    }
}

Entry factor(std::string key, std::string label, double uncertainty, void (*set)(Moved&, double)) {
    Entry entry{std::move(key), std::move(label), "x", 1.0};
    entry.low = 1.0 - uncertainty;
    entry.high = 1.0 + uncertainty;
    entry.least = 1.0 - 3.0 * uncertainty;
    entry.most = 1.0 + 3.0 * uncertainty;
    entry.set = set;
    return entry;
}

const geometry::Slot* first_slot(const Case& c) {
    for (const auto& bank : c.intake.banks) {
        if (bank.slot) {
            return &*bank.slot;
        }
    }
    return nullptr;
}

template <class Move>
Entry size(std::string key, std::string label, double drawn, double limit, Move&& move) {
    Entry entry{std::move(key), std::move(label), "mm", drawn};
    entry.low = std::max(drawn - limit, 0.0);
    entry.high = drawn + limit;
    entry.least = 0.2 * drawn;
    entry.most = 3.0 * drawn;
    entry.set = std::forward<Move>(move);
    return entry;
}

/// The factor that brings the largest coefficient of the throttles to 1: beyond it nothing moves.
double most_of_throttles(const geometry::Intake& intake) {
    double largest = 0;
    for (const auto& bank : intake.banks) {
        for (const auto& throttle : bank.throttles) {
            if (!throttle.cd_table) {
                largest = std::max(largest, throttle.cd);
                continue;
            }
            for (const double cd : throttle.cd_table->cd) {
                largest = std::max(largest, cd);
            }
        }
    }
    constexpr double any = 10;
    return largest > 0 ? 1.0 / largest : any;
}

/// As published.
std::vector<Entry> published(const Case& c) {
    std::vector<Entry> list;
    for (const ModelNumber& number : model_numbers()) {
        if (number.label == nullptr) {
            continue;
        }
        const auto member = number.member;
        list.push_back({.key = number.key,
                        .label = number.label,
                        .unit = "",
                        .value = c.model.*member,
                        .low = band_low(number),
                        .high = band_high(number),
                        .least = number.least,
                        .most = number.most,
                        .set = [member](Moved& v, double x) { v.model.*member = x; }});
    }
    list.push_back(factor("slot.coefficient", "slot coefficient", slot_uncertainty, scale_slots));
    Entry throttle = factor(
        "throttle.coefficient", "throttle coefficient", throttle_uncertainty, scale_throttles);
    const double most = most_of_throttles(c.intake);
    throttle.most = std::max(std::min(throttle.most, most), 1.0);
    throttle.high = std::min(throttle.high, throttle.most);
    list.push_back(throttle);
    list.push_back(factor("runner.entry", "entry loss", mouth_uncertainty, scale_mouths));
    Entry valve{.key = "valve.coefficient", .label = "valve coefficient", .unit = "", .value = 0.0};
    valve.low = -valve_uncertainty;
    valve.high = valve_uncertainty;
    valve.least = -2.0 * valve_uncertainty;
    valve.most = 2.0 * valve_uncertainty;
    valve.uses_engine = true;
    valve.set = shift_valves;
    list.push_back(valve);
    for (Entry& entry : list) {
        entry.prior_half = 0.5 * (entry.high - entry.low);
    }
    return list;
}

const LearnedEntry* learned_of(const Case& c, const std::string& key) {
    for (const auto& learned : c.learned) {
        if (learned.key == key) {
            return &learned;
        }
    }
    return nullptr;
}

}  // namespace

std::vector<Entry> coefficients(const Case& c) {
    auto list = published(c);
    for (Entry& entry : list) {
        if (const LearnedEntry* learned = learned_of(c, entry.key)) {
            // A factor is counted from where the case now stands.
            const double deviation =
                entry.unit == "x" ? learned->deviation / learned->value : learned->deviation;
            const double half = std::min(normal95 * deviation, entry.prior_half);
            entry.low = std::max(entry.value - half, entry.least);
            entry.high = std::min(entry.value + half, entry.most);
        }
    }
    return list;
}

double untouched(const std::string& key) {
    return key == "valve.coefficient" ? 0 : 1;
}

bool may_be_moved(const std::string& key) {
    return key == "throttle.coefficient" || key == "runner.entry" || key == "valve.coefficient";
}

bool within_bounds(const Case& c, const std::string& key, double value) {
    for (const Entry& entry : published(c)) {
        if (entry.key == key) {
            return value >= entry.least && value <= entry.most;
        }
    }
    return false;
}

void apply_learned(Case& c) {
    Moved moved{c.model, c.intake, c.engine};
    for (const Entry& entry : published(c)) {
        const LearnedEntry* learned = learned_of(c, entry.key);
        if (learned != nullptr && learned->value != untouched(entry.key)) {
            entry.set(moved, learned->value);
        }
    }
    c.model = moved.model;
    c.intake = std::move(moved.intake);
    c.engine = std::move(moved.engine);
}

std::vector<Alternative> alternatives(const Case& c) {
    std::vector<Alternative> list;
    const auto& banks = c.intake.banks;
    const auto any = [&banks](auto&& rule) {
        return std::any_of(banks.begin(), banks.end(), rule);
    };
    if (any([](const auto& bank) { return bank.plenum && !bank.runners.empty(); })) {
        list.push_back({"law of the mouths",
                        [](Moved& v) {
                            v.model.mouth_law = v.model.mouth_law == MouthLaw::lateral
                                                    ? MouthLaw::tee
                                                    : MouthLaw::lateral;
                        },
                        true});
    }
    if (c.has_engine && c.engine.exhaust_port > 0) {
        list.push_back({"lag of the exhaust port", [](Moved& v) { v.engine.exhaust_port = 0; }});
    }
    return list;
}

double valve_shift(const Case& c, double shift) {
    const auto& cd = c.engine.intake.cd.cd;
    if (cd.empty()) {
        return 0;
    }
    double sum = 0;
    for (const double value : cd) {
        sum += value;
    }
    return shift * static_cast<double>(cd.size()) / sum;
}

std::vector<Entry> made_sizes(const Case& c) {
    std::vector<Entry> list;
    const geometry::Slot* slot = first_slot(c);
    if (slot == nullptr) {
        return list;
    }
    if (!slot->pieces.empty()) {
        double area = 0;
        double length = 0;
        for (const auto& piece : slot->pieces) {
            area += piece.area();
            length += piece.length;
        }
        const double drawn = area / length;
        list.push_back(size(
            "slot.width", "slot width", drawn, slot->limits.width, [drawn](Moved& v, double x) {
                change_widths(v.intake, 1.0, x - drawn);
            }));
    }
    if (slot->cd) {
        return list;  // A stated coefficient knows no edge and no land.
    }
    if (slot->edge_radius > 0) {
        list.push_back(size("slot.edge_radius",
                            "slot edge radius",
                            slot->edge_radius,
                            slot->limits.edge_radius,
                            [drawn = slot->edge_radius](Moved& v, double x) {
                                move_slots(v, &geometry::Slot::edge_radius, drawn, x);
                            }));
    }
    list.push_back(size("slot.land",
                        "slot land",
                        slot->land,
                        slot->limits.land,
                        [drawn = slot->land](Moved& v, double x) {
                            move_slots(v, &geometry::Slot::land, drawn, x);
                        }));
    return list;
}

std::vector<Entry> uncertain_entries(const Case& c) {
    const PartKinds has = part_kinds(c.intake);
    const auto matters_for = [&](const std::string& key) {
        for (const ModelNumber& number : model_numbers()) {
            if (key == number.key) {
                return number.matters(has, c.model);
            }
        }
        return key == "slot.coefficient"       ? has.slot
               : key == "throttle.coefficient" ? has.throttle
               : key == "runner.entry"         ? has.runner
                                               : c.has_engine;
    };
    std::vector<Entry> list;
    for (auto& entry : coefficients(c)) {
        if (matters_for(entry.key)) {
            list.push_back(std::move(entry));
        }
    }
    for (auto& entry : made_sizes(c)) {
        list.push_back(std::move(entry));
    }
    return list;
}

}  // namespace plenair

#include "cases/study/as_made.hpp"

#include "geometry/runner_metal.hpp"

#include <algorithm>
#include <optional>

namespace plenair::study {

namespace {

/// Widths at stations in place of the drawn ones.
void set_widths(geometry::Slot& slot, const GaugeReading& gauge) {
    for (auto& piece : slot.pieces) {
        if (gauge.x.size() > 1) {
            piece.width = geometry::Profile::stations(gauge.x, gauge.value);
            continue;
        }
        const double factor =
            gauge.value.front() / piece.width.mean(piece.x, piece.x + piece.length);
        std::vector<double> width = piece.width.value();
        for (double& w : width) {
            w *= factor;
        }
        piece.width = geometry::Profile::stations(piece.width.x(), width);
    }
}

void set_slot(geometry::Slot& slot, const GaugeReading& gauge) {
    if (gauge.entry == "slot.width") {
        set_widths(slot, gauge);
    } else if (gauge.entry == "slot.edge_radius") {
        slot.edge_radius = gauge.mean();
    } else if (gauge.entry == "slot.land") {
        slot.land = gauge.mean();
    }
}

/// What was found in place of what was drawn.
void set_gauged(Case& c, const GaugeReading& gauge) {
    std::size_t runner = 0;
    for (std::size_t b = 0; b < c.intake.banks.size(); ++b) {
        auto& bank = c.intake.banks[b];
        if (!gauge.of_bank(b)) {
            continue;
        }
        if (bank.slot) {
            set_slot(*bank.slot, gauge);
        }
        for (auto& throttle : bank.throttles) {
            if (gauge.entry == "throttle.bore") {
                throttle.bore = gauge.mean();
            } else if (gauge.entry == "throttle.shaft") {
                throttle.shaft = gauge.mean();
            }
        }
        for (auto& r : bank.runners) {
            const double value = gauge.value.size() > 1 ? gauge.value[runner] : gauge.value.front();
            if (gauge.entry == "runner.length") {
                change_length(r, value - flange_length(r));
            } else if (gauge.entry == "runner.diameter") {
                const double off = value - r.mouth_diameter();
                change_bore(r, [off](double bore) { return bore + off; });
            } else if (gauge.entry == "runner.bell_radius") {
                r.bell_radius = value;
            }
            runner += gauge.entry.starts_with("runner.") ? 1 : 0;
        }
    }
}

/// Whether an entry was gauged wherever the case has it, and the widest of these uncertainties.
std::optional<double> gauged_within(const Case& c, const Measured& measured, const Entry& entry) {
    double widest = 0;
    for (std::size_t b = 0; b < c.intake.banks.size(); ++b) {
        if (entry.key.starts_with("slot.") && !c.intake.banks[b].slot) {
            continue;
        }
        const auto found = std::find_if(
            measured.gauges.begin(), measured.gauges.end(), [&](const GaugeReading& g) {
                return g.entry == entry.key && g.of_bank(b);
            });
        if (found == measured.gauges.end()) {
            return std::nullopt;
        }
        widest = std::max(widest, found->uncertainty);
    }
    return widest;
}

}  // namespace

AsMade as_made(const Case& drawn, const Measured& measured) {
    AsMade made{drawn, {}, {}};
    for (const auto& gauge : measured.gauges) {
        set_gauged(made.c, gauge);
    }
    made.entries = uncertain_entries(made.c);
    for (auto& entry : made.entries) {
        const auto within = gauged_within(made.c, measured, entry);
        if (within) {
            entry.low = std::max(entry.value - *within, 0.0);
            entry.high = entry.value + *within;
        }
        // Where nobody has gauged it and the drawing itself is a guess, the shop's limits say
        // little.
        for (const auto& assumption : drawn.assumed) {
            const double half = assumption.half_about(entry.value);
            if (!within && assumption.key == entry.key && half > entry.high - entry.value) {
                entry.low = std::max(entry.value - half, entry.least);
                entry.high = std::min(entry.value + half, entry.most);
            }
        }
        made.gauged.push_back(within.has_value());
    }
    return made;
}

}  // namespace plenair::study

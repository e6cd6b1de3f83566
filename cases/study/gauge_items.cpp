#include "cases/study/gauge_items.hpp"

#include "cases/study/case.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"
#include "geometry/runner_metal.hpp"

#include <fmt/format.h>

#include <cmath>

namespace plenair {

namespace {

/// Drawn value and limit of a gauged entry [m]; nothing where the case does not say.
struct Drawn {
    double value = 0, limit = 0;
};

std::optional<Drawn> drawn_of(const Case& c, const GaugeReading& gauge, std::size_t i) {
    std::size_t before = 0;
    for (std::size_t b = 0; b < c.intake.banks.size(); ++b) {
        const auto& bank = c.intake.banks[b];
        if (!gauge.of_bank(b)) {
            continue;
        }
        if (gauge.entry.starts_with("slot.") && bank.slot) {
            const auto& slot = *bank.slot;
            if (gauge.entry == "slot.edge_radius") {
                return Drawn{slot.edge_radius, slot.limits.edge_radius};
            }
            if (gauge.entry == "slot.land") {
                return Drawn{slot.land, slot.limits.land};
            }
            for (const auto& piece : slot.pieces) {
                if (gauge.x.empty() ||
                    (gauge.x[i] >= piece.x - 1e-6 && gauge.x[i] <= piece.x + piece.length + 1e-6)) {
                    return Drawn{gauge.x.empty() ? piece.width.mean(piece.x, piece.x + piece.length)
                                                 : piece.width.at(gauge.x[i]),
                                 slot.limits.width};
                }
            }
        }
        if (gauge.entry.starts_with("throttle.") && !bank.throttles.empty()) {
            const auto& throttle = bank.throttles.front();
            return Drawn{gauge.entry == "throttle.bore" ? throttle.bore : throttle.shaft, 0};
        }
        if (gauge.entry.starts_with("runner.") && i < before + bank.runners.size()) {
            const auto& runner = bank.runners[i - before];
            return Drawn{gauge.entry == "runner.length"     ? geometry::flange_length(runner)
                         : gauge.entry == "runner.diameter" ? runner.mouth_diameter()
                                                            : runner.bell_radius,
                         0};
        }
        before += bank.runners.size();
    }
    return std::nullopt;
}

void add_gauge(const Case& c,
               const GaugeReading& gauge,
               std::size_t number,
               std::vector<GaugeItem>& items) {
    for (std::size_t i = 0; i < gauge.value.size(); ++i) {
        const auto drawn = drawn_of(c, gauge, i);
        if (!drawn) {
            continue;
        }
        GaugeItem item;
        item.gauge = number;
        item.index = i;
        item.entry = (gauge.bank ? geometry::bank_prefix(geometry::bank_name(c.intake, *gauge.bank))
                                 : std::string{}) +
                     gauge.entry;
        item.value = gauge.value[i];
        item.drawn = drawn->value;
        item.limit = drawn->limit;
        item.uncertainty = gauge.uncertainty;
        item.place =
            !gauge.x.empty()
                ? fmt::format(
                      "station {} (x {})", i + 1, geometry::format_as(gauge.x[i], "mm", 1, c.units))
            : gauge.value.size() > 1 ? fmt::format("runner {}", i + 1)
                                     : std::string{};
        const double off = item.off();
        const double allowed = item.limit > 0 ? item.limit : item.uncertainty;
        item.verdict = std::abs(off) <= allowed + 1e-9 ? std::string("as drawn")
                       : std::abs(off) <= allowed + item.uncertainty
                           ? fmt::format("at the limit, {} {}",
                                         geometry::format_limit(std::abs(off), c.units, 2),
                                         off < 0 ? "small" : "large")
                           : fmt::format("{} {}",
                                         geometry::format_limit(std::abs(off), c.units, 2),
                                         off < 0 ? "small" : "large");
        items.push_back(item);
    }
}

}  // namespace

std::vector<GaugeItem> gauge_items(const Case& c, const Measured& measured) {
    std::vector<GaugeItem> items;
    for (std::size_t g = 0; g < measured.gauges.size(); ++g) {
        add_gauge(c, measured.gauges[g], g, items);
    }
    return items;
}

}  // namespace plenair

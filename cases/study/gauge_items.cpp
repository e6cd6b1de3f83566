#include "cases/study/gauge_items.hpp"

#include "cases/study/case.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"
#include "geometry/runner_metal.hpp"

#include <fmt/format.h>

#include <cmath>

namespace plenair {

namespace {

/// Drawn value and limit of a gauged entry [m], and whose it is.
struct Drawn {
    double value = 0, limit = 0;
    std::size_t bank = 0, part = 0;
};

/// @return nothing where the case does not say
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
                return Drawn{slot.edge_radius, slot.limits.edge_radius, b};
            }
            if (gauge.entry == "slot.land") {
                return Drawn{slot.land, slot.limits.land, b};
            }
            for (const auto& piece : slot.pieces) {
                if (gauge.x.empty() ||
                    (gauge.x[i] >= piece.x - 1e-6 && gauge.x[i] <= piece.x + piece.length + 1e-6)) {
                    return Drawn{gauge.x.empty() ? piece.width.mean(piece.x, piece.x + piece.length)
                                                 : piece.width.at(gauge.x[i]),
                                 slot.limits.width,
                                 b};
                }
            }
        }
        if (gauge.entry.starts_with("throttle.") && !bank.throttles.empty()) {
            const auto& throttle = bank.throttles.front();
            return Drawn{gauge.entry == "throttle.bore" ? throttle.bore : throttle.shaft, 0, b};
        }
        if (gauge.entry.starts_with("runner.") && i < before + bank.runners.size()) {
            const auto& runner = bank.runners[i - before];
            return Drawn{gauge.entry == "runner.length"     ? geometry::flange_length(runner)
                         : gauge.entry == "runner.diameter" ? runner.mouth_diameter()
                                                            : runner.bell_radius,
                         0,
                         b,
                         i - before};
        }
        before += bank.runners.size();
    }
    return std::nullopt;
}

/// The limit of the drawing, else that of the dimension [m]; 0 where neither gives one.
double limit_of(const Drawn& drawn,
                const GaugeReading& gauge,
                const std::vector<ToleratedDimension>& dimensions) {
    if (drawn.limit > 0) {
        return drawn.limit;
    }
    for (const auto& dimension : dimensions) {
        if (is_gauged(dimension, gauge) && dimension.bank == drawn.bank &&
            dimension.part == drawn.part) {
            return dimension.limit;
        }
    }
    return 0;
}

std::string place_of(const Case& c, const GaugeReading& gauge, const Drawn& drawn, std::size_t i) {
    if (!gauge.x.empty()) {
        return fmt::format(
            "station {} (x {})", i + 1, geometry::format_as(gauge.x[i], "mm", 1, c.units));
    }
    if (gauge.value.size() < 2) {
        return {};
    }
    const auto& bank = c.intake.banks[drawn.bank];
    return fmt::format("{} {}",
                       bank.cylinders.empty() ? "runner" : "cylinder",
                       geometry::cylinder_of(bank, drawn.part));
}

std::string verdict_of(const Case& c, const GaugeItem& item) {
    const double off = std::abs(item.off());
    const double allowed = item.limit > 0 ? item.limit : item.uncertainty;
    if (off <= allowed + study::same_size) {
        return "as drawn";
    }
    return fmt::format("{}{} {}",
                       off <= allowed + item.uncertainty + study::same_size ? "at the limit, " : "",
                       geometry::format_limit(off, c.units, 2),
                       item.off() < 0 ? "small" : "large");
}

void add_gauge(const Case& c,
               const GaugeReading& gauge,
               std::size_t number,
               const std::vector<ToleratedDimension>& dimensions,
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
        item.limit = limit_of(*drawn, gauge, dimensions);
        item.uncertainty = gauge.uncertainty;
        item.place = place_of(c, gauge, *drawn, i);
        item.verdict = verdict_of(c, item);
        items.push_back(item);
    }
}

}  // namespace

bool is_gauged(const ToleratedDimension& dimension, const GaugeReading& gauge) {
    const auto at = dimension.key.find(gauge.entry);
    const auto end = at + gauge.entry.size();
    return at != std::string::npos && (end == dimension.key.size() || dimension.key[end] == ' ') &&
           gauge.of_bank(dimension.bank);
}

std::vector<GaugeItem> gauge_items(const Case& c,
                                   const Measured& measured,
                                   const std::vector<ToleratedDimension>& dimensions) {
    std::vector<GaugeItem> items;
    for (std::size_t g = 0; g < measured.gauges.size(); ++g) {
        add_gauge(c, measured.gauges[g], g, dimensions, items);
    }
    return items;
}

}  // namespace plenair

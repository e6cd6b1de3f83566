#include "cases/study/part_verdict.hpp"

#include "cases/study/fit_model.hpp"
#include "cases/study/gauge_items.hpp"
#include "cases/study/percent.hpp"
#include "cases/study/rework.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <optional>

namespace plenair {

namespace {

using namespace study;

constexpr double sure = 0.95;

bool by_station(const GaugeReading& gauge) {
    return gauge.entry == "slot.width" && gauge.x.size() > 1;
}

/// Sizes outside their limits, with where and by how much.
std::vector<std::string> outside_limits(const std::vector<GaugeItem>& items,
                                        const geometry::OutputUnits& units) {
    std::vector<std::string> outside;
    for (const auto& item : items) {
        const double limit = item.limit;
        const double off = std::abs(item.off());
        if (limit > 0 && off > limit + same_size) {
            outside.push_back(fmt::format("{}{}{} is {} {}, {} beyond its limit",
                                          item.entry,
                                          item.place.empty() ? "" : " at ",
                                          item.place,
                                          geometry::format_limit(off, units, 2),
                                          item.off() < 0 ? "small" : "large",
                                          geometry::format_limit(off - limit, units, 2)));
        }
    }
    return outside;
}

/// The size whose uncertainty makes most of what the part may still be.
const InputEffect* widest_effect(const ToleranceResult& result) {
    const InputEffect* most = nullptr;
    for (const auto& effect : result.effects) {
        if (effect.metal && (most == nullptr || effect.total > most->total)) {
            most = &effect;
        }
    }
    return most;
}

/// What must be known better before there is a verdict; empty where nothing of the metal is open.
std::string what_to_know(const ToleranceResult& result) {
    const InputEffect* widest = widest_effect(result);
    if (widest == nullptr) {
        return "";
    }
    const auto bank = widest->key.find(": ");
    const std::string key = bank == std::string::npos ? widest->key : widest->key.substr(bank + 2);
    const bool gauged =
        fmt::format("|{}|", gauged_entries)
            .find(fmt::format("|{}|", key.substr(0, key.find(' ')))) != std::string::npos;
    const auto limit = geometry::format_limit(widest->limit, result.units, 2);
    return gauged ? fmt::format("; measure {} closer than +/-{}", widest->key, limit)
                  : fmt::format(
                        "; most of it is {} within +/-{} ({}): state its own limit in the "
                        "case where it is held closer",
                        widest->key,
                        limit,
                        widest->source);
}

std::string may_be(const ToleranceResult& result) {
    return fmt::format(
        "{:.0f} % of what this part may be keeps the worst spread within {:.1f} % "
        "(as found {:.2f} %)",
        in_percent(result.metal.share),
        in_percent(result.target),
        in_percent(result.drawn_spread));
}

}  // namespace

TolerancePlan as_found(const TolerancePlan& drawn, const Measured& measured) {
    TolerancePlan found = drawn;
    found.one_part = true;
    found.base = as_made(drawn.base, measured).c;
    for (const auto& gauge : measured.gauges) {
        const std::string source =
            gauge.instrument.empty() ? std::string("as gauged") : "gauged, " + gauge.instrument;
        const bool stations = by_station(gauge);
        std::erase_if(found.dimensions, [&](const auto& dimension) {
            const bool taper = dimension.key.find(" end to end") != std::string::npos;
            return is_gauged(dimension, gauge) && (stations || taper || gauge.uncertainty <= 0);
        });
        for (auto& dimension : found.dimensions) {
            if (is_gauged(dimension, gauge)) {
                dimension.limit = gauge.uncertainty;
                dimension.source = source;
            }
        }
        for (std::size_t i = 0; stations && gauge.uncertainty > 0 && i < gauge.x.size(); ++i) {
            found.dimensions.push_back(
                {(gauge.bank
                      ? geometry::bank_prefix(geometry::bank_name(drawn.base.intake, *gauge.bank))
                      : std::string{}) +
                     fmt::format("slot.width at station {}", i + 1),
                 source,
                 gauge.uncertainty,
                 [gauge, i](Case& c, double d) { move_station(c, gauge, i, d); },
                 gauge.bank.value_or(0)});
        }
    }
    return found;
}

namespace {

PartVerdict verdict_of(const TolerancePlan& drawn,
                       const TolerancePlan& found,
                       const Measured& measured,
                       const ToleranceOptions& options,
                       const ToleranceResult& result) {
    PartVerdict part;
    const auto items = gauge_items(drawn.base, measured, drawn.dimensions);
    part.outside = outside_limits(items, drawn.base.units);
    if (result.metal.share >= sure) {
        part.verdict = "use";
        part.sentence = fmt::format("Use: {}.", may_be(result));
        return part;
    }
    if (result.metal.share > 1 - sure) {
        part.verdict = "cannot tell";
        part.sentence = fmt::format("Cannot tell: {}{}.", may_be(result), what_to_know(result));
        return part;
    }
    // Room for what stays unknown.
    const double room = std::max(0.0, result.spread_95 - result.drawn_spread);
    std::vector<GaugeItem> widths;
    std::copy_if(items.begin(), items.end(), std::back_inserter(widths), [&](const auto& item) {
        return by_station(measured.gauges[item.gauge]);
    });
    const auto rework = find_rework(widths, found, measured, result.target - room, options);
    if (rework) {
        part.verdict = "rework";
        part.sentence = fmt::format(
            "Rework: {}; open the edge at {} to the drawn width, then the worst spread is {:.2f} "
            "%.",
            may_be(result),
            stations_in_words(widths, rework->opened, measured, drawn.base),
            in_percent(rework->spread));
        return part;
    }
    part.verdict = "reject";
    part.sentence =
        fmt::format("Reject: {}, and opening the slot to its drawn width does not bring it there.",
                    may_be(result));
    return part;
}

}  // namespace

void assess_part(const TolerancePlan& drawn,
                 const TolerancePlan& found,
                 const Measured& measured,
                 const ToleranceOptions& options,
                 ToleranceResult& result) {
    result.part = verdict_of(drawn, found, measured, options, result);
    std::vector<std::string> first{result.part.sentence};
    if (!result.part.outside.empty()) {
        first.push_back(
            fmt::format("Outside their limits: {}.", fmt::join(result.part.outside, "; ")));
    }
    result.sentences.insert(result.sentences.begin(), first.begin(), first.end());
}

}  // namespace plenair

#include "cases/study/part_verdict.hpp"

#include "cases/study/fit_model.hpp"
#include "cases/study/gauge_items.hpp"
#include "cases/study/percent.hpp"
#include "cases/study/tolerance_surface.hpp"
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
constexpr double worth_opening = 5e-6;  // [m]
constexpr double same_size = 1e-9;  // [m]

/// Whether a dimension of the plan is one that was gauged: "runner.length of cylinder 2", "left:
/// slot.width".
bool is_of(const std::string& key, const GaugeReading& gauge, const geometry::Intake& intake) {
    const auto at = key.find(gauge.entry);
    const auto end = at + gauge.entry.size();
    if (at == std::string::npos || (end < key.size() && key[end] != ' ')) {
        return false;
    }
    if (!gauge.bank) {
        return true;
    }
    const auto& cylinders = intake.banks[*gauge.bank].cylinders;
    return gauge.entry.starts_with("runner.")
               ? std::any_of(
                     cylinders.begin(),
                     cylinders.end(),
                     [&](int number) { return key.ends_with(fmt::format(" cylinder {}", number)); })
               : key.starts_with(geometry::bank_prefix(geometry::bank_name(intake, *gauge.bank)));
}

/// Moves the width at one station of a gauge, the widths between it and its neighbours with it.
void move_station(Case& c, const GaugeReading& gauge, std::size_t i, double d) {
    for (std::size_t b = 0; b < c.intake.banks.size(); ++b) {
        auto& slot = c.intake.banks[b].slot;
        if (!gauge.of_bank(b) || !slot) {
            continue;
        }
        for (auto& piece : slot->pieces) {
            auto width = piece.width.value();
            if (width.size() == gauge.x.size()) {
                width[i] += d;
                piece.width = geometry::Profile::stations(piece.width.x(), width);
            }
        }
    }
}

bool by_station(const GaugeReading& gauge) {
    return gauge.entry == "slot.width" && gauge.x.size() > 1;
}

/// How far off a gauged size may be [m]: as the drawing says, else the plan; 0 where neither does.
double limit_of(const GaugeItem& item, const GaugeReading& gauge, const TolerancePlan& drawn) {
    double limit = item.limit;
    for (const auto& dimension : drawn.dimensions) {
        if (item.limit <= 0 && is_of(dimension.key, gauge, drawn.base.intake)) {
            limit = std::max(limit, dimension.limit);
        }
    }
    return limit;
}

/// Sizes outside their limits, with where and by how much.
std::vector<std::string> outside_limits(const std::vector<GaugeItem>& items,
                                        const Measured& measured,
                                        const TolerancePlan& drawn) {
    const auto& units = drawn.base.units;
    std::vector<std::string> outside;
    for (const auto& item : items) {
        const double limit = limit_of(item, measured.gauges[item.gauge], drawn);
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

double worst_spread(const Outputs& y, std::size_t points) {
    const OutputMap map(points, y.size() / points - 4);
    double worst = 0;
    for (std::size_t p = 0; p < points; ++p) {
        const auto first = y.begin() + static_cast<std::ptrdiff_t>(map.bias(p, 0));
        const auto last = y.begin() + static_cast<std::ptrdiff_t>(map.slot_loss(p));
        const auto [low, high] = std::minmax_element(first, last);
        worst = std::max(worst, *high - *low);
    }
    return worst;
}

/// Stations that are opened to the drawn width, as indices of gauged widths.
struct Rework {
    std::vector<std::size_t> opened;
    double spread = 0;  ///< then [-]
};

/// "stations 5 to 9", "station 2, stations 5 to 9 of the left bank"
std::string stations_in_words(const std::vector<GaugeItem>& widths,
                              const std::vector<std::size_t>& opened,
                              const Measured& measured,
                              const Case& c) {
    std::vector<std::string> runs;
    for (std::size_t k = 0; k < opened.size();) {
        std::size_t end = k;
        while (end + 1 < opened.size() && opened[end + 1] == opened[end] + 1 &&
               widths[opened[end + 1]].gauge == widths[opened[k]].gauge) {
            ++end;
        }
        const auto& first = widths[opened[k]];
        const auto& bank = measured.gauges[first.gauge].bank;
        runs.push_back(
            (end == k ? fmt::format("station {}", first.index + 1)
                      : fmt::format(
                            "stations {} to {}", first.index + 1, widths[opened[end]].index + 1)) +
            (bank
                 ? fmt::format(" of {}", geometry::bank_words(geometry::bank_name(c.intake, *bank)))
                 : std::string{}));
        k = end + 1;
    }
    return fmt::format("{}", fmt::join(runs, ", "));
}

/// The fewest stations whose opening brings the worst spread to `most`: all that are narrower than
/// their limit, and of the others that are narrow a run of neighbours.
std::optional<Rework> find_rework(const std::vector<GaugeItem>& widths,
                                  const TolerancePlan& found,
                                  const Measured& measured,
                                  double most,
                                  const ToleranceOptions& options) {
    const std::size_t n = widths.size();
    TolerancePlan plan = found;
    plan.coefficients = false;
    plan.dimensions.clear();
    std::vector<bool> below(n);
    for (std::size_t i = 0; i < n; ++i) {
        const auto& gauge = measured.gauges[widths[i].gauge];
        below[i] = widths[i].off() < -widths[i].limit - same_size;
        plan.dimensions.push_back({"", "", 1, [&gauge, at = widths[i].index](Case& c, double d) {
                                       move_station(c, gauge, at, d);
                                   }});
    }
    std::vector<Rework> trials;
    std::vector<std::vector<double>> parts;
    const auto add = [&](std::size_t first, std::size_t last) {
        Rework trial;
        std::vector<double> part(n, 0.0);
        for (std::size_t i = 0; i < n; ++i) {
            if (below[i] || (i >= first && i < last)) {
                trial.opened.push_back(i);
                part[i] = -widths[i].off();
            }
        }
        if (!trial.opened.empty()) {
            trials.push_back(trial);
            parts.push_back(part);
        }
    };
    add(0, 0);
    for (std::size_t a = 0; a < n; ++a) {
        for (std::size_t b = a; b < n && widths[b].gauge == widths[a].gauge; ++b) {
            if (widths[b].off() >= -worth_opening) {
                break;  // metal cannot be put back, and what is wide enough is left alone
            }
            add(a, b + 1);
        }
    }
    const auto outputs = solve_parts(plan, parts, options);
    std::optional<Rework> best;
    for (std::size_t k = 0; k < trials.size(); ++k) {
        if (outputs[k].empty()) {
            continue;
        }
        auto& trial = trials[k];
        trial.spread = worst_spread(outputs[k], found.base.points.size());
        const bool better =
            !best || trial.opened.size() < best->opened.size() ||
            (trial.opened.size() == best->opened.size() && trial.spread < best->spread);
        if (trial.spread <= most && better) {
            best = trial;
        }
    }
    return best;
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
            return is_of(dimension.key, gauge, drawn.base.intake) &&
                   (stations || taper || gauge.uncertainty <= 0);
        });
        for (auto& dimension : found.dimensions) {
            if (is_of(dimension.key, gauge, drawn.base.intake)) {
                dimension.limit = gauge.uncertainty;
                dimension.source = source;
            }
        }
        for (std::size_t i = 0; stations && gauge.uncertainty > 0 && i < gauge.x.size(); ++i) {
            found.dimensions.push_back(
                {fmt::format("slot.width at station {}", i + 1),
                 source,
                 gauge.uncertainty,
                 [gauge, i](Case& c, double d) { move_station(c, gauge, i, d); }});
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
    const auto items = gauge_items(drawn.base, measured);
    part.outside = outside_limits(items, measured, drawn);
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

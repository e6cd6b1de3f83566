#include "cases/study/part_verdict.hpp"

#include "cases/study/fit_model.hpp"
#include "cases/study/percent.hpp"
#include "cases/study/tolerance_surface.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace plenair {

namespace {

using namespace study;

constexpr double sure = 0.95;
constexpr double worth_opening = 5e-6;  // [m]

std::string in_mm(double length) {
    return geometry::format_in(length, "mm", 4) + " mm";
}

/// Whether a dimension of the plan is one of an entry: "runner.length of cylinder 2".
bool is_of(const std::string& key, const std::string& entry) {
    const auto at = key.find(entry);
    if (at == std::string::npos) {
        return false;
    }
    const auto end = at + entry.size();
    return end == key.size() || key[end] == ' ';
}

/// Moves the width at one station, the widths between it and its neighbours with it.
void move_station(Case& c, const std::vector<double>& x, std::size_t i, double d) {
    for (auto& bank : c.intake.banks) {
        if (!bank.slot) {
            continue;
        }
        for (auto& piece : bank.slot->pieces) {
            auto width = piece.width.value();
            if (width.size() == x.size()) {
                width[i] += d;
                piece.width = geometry::Profile::stations(piece.width.x(), width);
            }
        }
    }
}

const GaugeReading* stations_of(const Measured& measured) {
    const auto found =
        std::find_if(measured.gauges.begin(), measured.gauges.end(), [](const auto& g) {
            return g.entry == "slot.width" && g.x.size() > 1;
        });
    return found == measured.gauges.end() ? nullptr : &*found;
}

double drawn_width(const Case& drawn, double x) {
    for (const auto& bank : drawn.intake.banks) {
        if (bank.slot && !bank.slot->pieces.empty()) {
            return bank.slot->pieces.front().width.at(x);
        }
    }
    return 0;
}

double width_limit(const Case& drawn) {
    for (const auto& bank : drawn.intake.banks) {
        if (bank.slot) {
            return bank.slot->limits.width;
        }
    }
    return 0;
}

std::vector<std::string> outside_limits(const Case& drawn, const GaugeReading& gauge) {
    std::vector<std::string> outside;
    const double limit = width_limit(drawn);
    for (std::size_t i = 0; i < gauge.x.size(); ++i) {
        const double off = gauge.value[i] - drawn_width(drawn, gauge.x[i]);
        if (std::abs(off) > limit + 1e-9) {
            outside.push_back(
                fmt::format("station {} (x {} mm) is {} {} than drawn, {} beyond "
                            "its limit",
                            i + 1,
                            geometry::format_in(gauge.x[i], "mm", 4),
                            in_mm(std::abs(off)),
                            off < 0 ? "narrower" : "wider",
                            in_mm(std::abs(off) - limit)));
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

/// A run of stations that is opened to the drawn width.
struct Rework {
    std::size_t first = 0, last = 0;
    double spread = 0;  ///< then [-]
};

/// The fewest neighbouring stations whose opening brings the worst spread to `most`.
std::optional<Rework> find_rework(const TolerancePlan& drawn,
                                  const TolerancePlan& found,
                                  const GaugeReading& gauge,
                                  double most,
                                  const ToleranceOptions& options) {
    const std::size_t n = gauge.x.size();
    TolerancePlan opened = found;
    opened.coefficients = false;
    opened.dimensions.clear();
    std::vector<double> missing;
    for (std::size_t i = 0; i < n; ++i) {
        missing.push_back(drawn_width(drawn.base, gauge.x[i]) - gauge.value[i]);
        opened.dimensions.push_back(
            {"", "", 1, [x = gauge.x, i](Case& c, double d) { move_station(c, x, i, d); }});
    }
    std::vector<Rework> runs;
    std::vector<std::vector<double>> parts;
    for (std::size_t a = 0; a < n; ++a) {
        for (std::size_t b = a; b < n && missing[a] > worth_opening; ++b) {
            if (missing[b] <= worth_opening) {
                break;  // metal cannot be put back, and what is wide enough is left alone
            }
            runs.push_back({a, b});
            auto& part = parts.emplace_back(n, 0.0);
            std::copy(missing.begin() + static_cast<std::ptrdiff_t>(a),
                      missing.begin() + static_cast<std::ptrdiff_t>(b) + 1,
                      part.begin() + static_cast<std::ptrdiff_t>(a));
        }
    }
    const auto outputs = solve_parts(opened, parts, options);
    std::optional<Rework> best;
    for (std::size_t k = 0; k < runs.size(); ++k) {
        if (outputs[k].empty()) {
            continue;
        }
        runs[k].spread = worst_spread(outputs[k], found.base.points.size());
        const std::size_t size = runs[k].last - runs[k].first;
        const bool better = !best || size < best->last - best->first ||
                            (size == best->last - best->first && runs[k].spread < best->spread);
        if (runs[k].spread <= most && better) {
            best = runs[k];
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
        const bool by_station = gauge.entry == "slot.width" && gauge.x.size() > 1;
        std::erase_if(found.dimensions, [&](const auto& dimension) {
            const bool taper = dimension.key.find(" end to end") != std::string::npos;
            return is_of(dimension.key, gauge.entry) &&
                   (by_station || taper || gauge.uncertainty <= 0);
        });
        for (auto& dimension : found.dimensions) {
            if (is_of(dimension.key, gauge.entry)) {
                dimension.limit = gauge.uncertainty;
                dimension.source = source;
            }
        }
        for (std::size_t i = 0; by_station && gauge.uncertainty > 0 && i < gauge.x.size(); ++i) {
            found.dimensions.push_back(
                {fmt::format("slot.width at station {}", i + 1),
                 source,
                 gauge.uncertainty,
                 [x = gauge.x, i](Case& c, double d) { move_station(c, x, i, d); }});
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
    const GaugeReading* gauge = stations_of(measured);
    if (gauge != nullptr) {
        part.outside = outside_limits(drawn.base, *gauge);
    }
    if (result.metal.share >= sure) {
        part.verdict = "use";
        part.sentence = fmt::format("Use: {}.", may_be(result));
        return part;
    }
    if (result.metal.share > 1 - sure) {
        const InputEffect* widest = widest_effect(result);
        part.verdict = "cannot tell";
        part.sentence = fmt::format("Cannot tell: {}; measure {} closer than +/-{}.",
                                    may_be(result),
                                    widest == nullptr ? "the part" : widest->key,
                                    widest == nullptr ? "its limits" : in_mm(widest->limit));
        return part;
    }
    // Room for what stays unknown.
    const double room = std::max(0.0, result.spread_95 - result.drawn_spread);
    const auto rework = gauge == nullptr
                            ? std::nullopt
                            : find_rework(drawn, found, *gauge, result.target - room, options);
    if (rework) {
        part.verdict = "rework";
        part.sentence = fmt::format(
            "Rework: {}; open the edge at {} to the drawn width, then the worst spread is {:.2f} "
            "%.",
            may_be(result),
            rework->first == rework->last
                ? fmt::format("station {}", rework->first + 1)
                : fmt::format("stations {} to {}", rework->first + 1, rework->last + 1),
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
        first.push_back(fmt::format("Outside the drawing's limits: slot.width at {}.",
                                    fmt::join(result.part.outside, "; ")));
    }
    result.sentences.insert(result.sentences.begin(), first.begin(), first.end());
}

}  // namespace plenair

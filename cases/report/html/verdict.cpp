#include "cases/report/html/parts.hpp"
#include "cases/report/words/caution.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/study/check.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace plenair::html {

namespace {

using geometry::to_unit;
using Points = std::vector<PointResult>;

// Above these a loss or a slot is worth a word (common practice).
constexpr double loud_throttle_loss = 0.02;
constexpr double loud_slot_mach = 0.3;

const PointResult* largest(const Points& points, double PointResult::*member) {
    const PointResult* found = nullptr;
    for (const auto& point : points) {
        if (!point.converged) continue;
        if (found == nullptr || point.*member > found->*member) found = &point;
    }
    return found;
}

std::string loss_tile(const char* term, const Points& points, double PointResult::*member) {
    const auto* point = largest(points, member);
    if (point == nullptr || !(point->*member > 0)) return "";
    return tile(
        term,
        number_text(percent(point->*member / point->source_pressure), 1) + " %",
        fmt::format(
            "{} kPa at {}", number_text(to_unit(point->*member, "kPa"), 1), escaped(point->name)));
}

std::string tiles(const SolveResult& result, const Verdict& v) {
    std::string text;
    // One cylinder has no spread and no leanest.
    if (v.worst && worst_of(result, v).cylinders.size() > 1) {
        const auto& worst = worst_of(result, v);
        text += tile("Largest spread",
                     fixed(percent(worst.spread), 1) + " %",
                     fmt::format("at {}, {} rpm", escaped(worst.name), rpm_text(worst.speed)));
        text += !v.leanest.empty()
                    ? tile("Leanest on equal fuel",
                           geometry::cylinder_words(v.leanest),
                           fmt::format(
                               "{} % air at {}", bias_text(v.leanest_bias), escaped(worst.name)))
                    : tile("Leanest on equal fuel", "none", "inside the band");
    }
    text += loss_tile("Throttle loss, largest", result.points, &PointResult::throttle_loss);
    text += loss_tile("Slot loss, largest", result.points, &PointResult::slot_loss);
    text += tile("Converged", fmt::format("{} of {}", v.converged, v.points), "points");
    return "<dl class=\"tiles\">\n" + text + "</dl>\n";
}

/// Names of the points above a limit; of many, as of a curve, the first, the last and how many.
std::string names_above(const Points& points, double limit, double (*value)(const PointResult&)) {
    constexpr std::size_t most = 8;
    std::vector<std::string> names;
    for (const auto& point : points) {
        if (point.converged && value(point) > limit) names.push_back(escaped(point.name));
    }
    if (names.size() > most) {
        return fmt::format(
            "{} points between {} and {}", names.size(), names.front(), names.back());
    }
    return fmt::format("{}", fmt::join(names, ", "));
}

std::string band_text(const Points& points) {
    const PointResult* widest = nullptr;
    for (const auto& point : points) {
        if (point.converged && (widest == nullptr || point.bias_band > widest->bias_band)) {
            widest = &point;
        }
    }
    if (widest != nullptr && widest->cylinders.size() == 1 && widest->air_band > 0) {
        return fmt::format("Band at 95 %: &plusmn;{} % of the air at {} ({}).",
                           fixed(percent(widest->air_band), 1),
                           escaped(widest->name),
                           escaped(band_parts_words(*widest)));
    }
    if (widest == nullptr || !(widest->bias_band > 0)) {
        return "The bands were not computed (<code>solve</code> does unless told <code>--bands "
               "off</code>); less than 0.5 % is not called a difference here.";
    }
    return fmt::format(
        "Band at 95 %: up to &plusmn;{} % of a bias at {} ({}); nothing inside a point's band is "
        "called a difference.",
        fixed(std::max(percent(widest->bias_band), 0.1), 1),
        escaped(widest->name),
        escaped(band_parts_words(*widest)));
}

}  // namespace

std::string tile(const std::string& term, const std::string& value, const std::string& where) {
    return fmt::format(
        "<div><dt>{}</dt><dd><strong>{}</strong><span>{}</span></dd></div>\n", term, value, where);
}

std::vector<std::string> watch_items(const SolveResult& result, const Case* design) {
    const Verdict v = verdict(result);
    std::vector<std::string> items;
    const auto& points = result.points;
    for (const auto& point : points) {
        if (point.converged) continue;
        items.push_back(fmt::format("<strong>{} did not converge</strong> and is not a result: {}.",
                                    escaped(point.name),
                                    escaped(point.failure)));
    }
    if (!v.reversals.empty()) {
        items.push_back(escaped(reversal_text(v)));
    }
    const auto throttled = names_above(points, loud_throttle_loss, [](const PointResult& p) {
        return p.throttle_loss / p.source_pressure;
    });
    if (!throttled.empty()) {
        items.push_back("Throttle loss is above 2 % of the pressure before it at " + throttled +
                        ".");
    }
    const auto fast =
        names_above(points, loud_slot_mach, [](const PointResult& p) { return p.slot_mach; });
    if (!fast.empty()) items.push_back("Peak slot Mach number is above 0.3 at " + fast + ".");
    for (const auto& point : points) {
        for (const auto& note : point.notes) {
            items.push_back(escaped(point.name) + ": " + escaped(note));
        }
    }
    if (design != nullptr) {
        for (const auto& warning : check(*design).warnings) {
            items.push_back(escaped(warning));
        }
    }
    return items;
}

std::string verdict_section(const Place& place, const ReportOptions& options) {
    const Verdict v = verdict(place.result(), options.target);
    std::string words = verdict_text(place.result(), v);
    for (const auto& more : {slot_text(v), banks_text(place.result(), v)}) {
        if (!more.empty()) words += " " + more;
    }
    std::string text = paragraph(escaped(words), "verdict");
    text += paragraph("<strong>How sure:</strong> " + escaped(hardware_words()) + " " +
                          band_text(place.result().points),
                      "sure");
    text += tiles(place.result(), v);
    text += curve_charts(place.result(), options.target);
    text += bias_panels(place.result(), options.target);
    if (const auto& reasons = place.result().reasons; !reasons.words.empty()) {
        text +=
            paragraph("<strong>Where it comes from:</strong> " + escaped(reasons.words), "reasons");
    }
    const auto items =
        watch_items(place.result(), place.source.design ? &*place.source.design : nullptr);
    if (!items.empty()) text += "<h3>Watch</h3>\n" + list(items, "watch");
    text += paragraph(
        "Fuel, pressure, lean running and machining can hurt people and engines: read the <a "
        "href=\"#cautions\">cautions</a>. This is a calculation, not an approval; local codes, "
        "event rules, insurers and licensed professionals decide.",
        "careful");
    return section(place.id("verdict"), "For the designer: verdict", text);
}

}  // namespace plenair::html

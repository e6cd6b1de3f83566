#include "cases/report/html/parts.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/report/words/trim_words.hpp"
#include "cases/study/trim.hpp"
#include "geometry/error.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace plenair::html {

namespace {

using geometry::to_unit;

/// Text of another room as HTML, with the sign that a terminal has not.
std::string in_words(std::string_view text) {
    std::string words = escaped(text);
    for (auto at = words.find("+/-"); at != std::string::npos; at = words.find("+/-", at)) {
        words.replace(at, 3, "&plusmn;");
    }
    return words;
}

// A page is no wider than so many columns; of the points of a curve `plenair trim` has a line each.
constexpr std::size_t most_fuel_columns = 12;

std::vector<const TrimPoint*> by_speed(const TrimResult& trims) {
    std::vector<const TrimPoint*> points;
    for (const auto& point : trims.points) {
        if (point.issued) points.push_back(&point);
    }
    std::stable_sort(points.begin(), points.end(), [](const auto* a, const auto* b) {
        return a->speed < b->speed;
    });
    return points;
}

std::vector<std::string> heads_of(const TrimPoint& point) {
    std::vector<std::string> heads = {"Point", "Speed<br>rpm", "Plenum<br>kPa abs"};
    for (const auto& t : point.cylinders) {
        heads.push_back(
            fmt::format("Cyl. {}<br><small>position {}</small>", t.cylinder, t.firing_position));
    }
    return heads;
}

std::vector<Cell> start_of(const TrimPoint& point) {
    return {{escaped(point.name), ""},
            {rpm_text(point.speed), ""},
            {fixed(to_unit(point.plenum_pressure, "kPa"), 0), ""}};
}

/// The trim map: a row a point in order of speed, with its load.
std::string trim_table(const TrimResult& trims, const std::vector<const TrimPoint*>& points) {
    auto heads = heads_of(*points.front());
    heads.emplace_back("Mean moved<br>%");
    Table table(fmt::format("Trim of each cylinder in %, in steps of {} %, and as multiplier",
                            fixed(percent(trims.step), 2)),
                heads);
    for (const auto* point : points) {
        auto cells = start_of(*point);
        for (const auto& t : point->cylinders) {
            cells.push_back(
                {fmt::format("{}<br><small>{}</small>", bias_text(t.trim), fixed(t.multiplier, 3)),
                 bias_class(t.trim, 0)});
        }
        cells.push_back({number_text(percent(point->moved_mean), 2), ""});
        table.row(cells);
    }
    return table.text("Fuel trims by speed and load");
}

std::string lambda_table(const std::vector<const TrimPoint*>& points) {
    auto heads = heads_of(*points.front());
    heads.insert(heads.begin() + 3, "Target");
    Table table("Lambda of each cylinder on equal fuel, and below it with the trims", heads);
    for (const auto* point : points) {
        auto cells = start_of(*point);
        cells.push_back({fixed(point->lambda, 2), "strong"});
        for (const auto& t : point->cylinders) {
            cells.push_back({fmt::format("{}<br><small>{}</small>",
                                         fixed(t.lambda_untrimmed, 3),
                                         fixed(t.lambda_trimmed, 3)),
                             t.cylinder == point->leanest ? "strong" : ""});
        }
        table.row(cells);
    }
    return table.text("Lambda untrimmed and trimmed");
}

/// What is asked of a stage at the cylinder that asks most.
struct Highest {
    double flow = 0, before = 0, after = 0;
    int cylinder = 0;
    bool over = false;
};

Highest highest(const TrimPoint& point, StageDuty Duty::*stage) {
    Highest found;
    for (const auto& t : point.cylinders) {
        if (!t.duty_untrimmed || !t.duty_trimmed) continue;
        const auto &before = (*t.duty_untrimmed).*stage, &after = (*t.duty_trimmed).*stage;
        found.over = found.over || before.over || after.over;
        if (found.cylinder > 0 && after.commanded <= found.after) continue;
        found.flow = after.flow;
        found.before = before.commanded;
        found.after = after.commanded;
        found.cylinder = t.cylinder;
    }
    return found;
}

void duty_row(
    Table& table, const TrimPoint& point, const char* name, const Highest& duty, double limit) {
    if (!(duty.after > 0)) {
        table.row({{escaped(point.name), ""},
                   {name, "word"},
                   {"rests", "none"},
                   {"-", "none"},
                   {"-", "none"},
                   {"-", "none"},
                   {fixed(percent(limit), 0), ""},
                   {"", ""}});
        return;
    }
    table.row({{escaped(point.name), ""},
               {name, "word"},
               {std::to_string(duty.cylinder), ""},
               {fixed(percent(duty.flow), 1), ""},
               {fixed(percent(duty.before), 1), ""},
               {fixed(percent(duty.after), 1), duty.over ? "alarm" : "strong"},
               {fixed(percent(limit), 0), ""},
               {duty.over ? "over the limit" : "within", duty.over ? "alarm word" : "word"}});
}

std::string duty_table(const TrimResult& trims, const std::vector<const TrimPoint*>& points) {
    if (!trims.injection) {
        return paragraph("The case names no injectors, so no duty is computed.", "note");
    }
    Table table(
        "Injector duty in % of the cycle, at the cylinder that is asked for most; nothing is cut "
        "off "
        "at 100 %",
        {"Point",
         "Stage",
         "Cylinder",
         "Flow,<br>trimmed",
         "Commanded,<br>untrimmed",
         "Commanded,<br>trimmed",
         "Limit",
         "State"});
    for (const std::size_t column : {1U, 7U}) table.words(column);
    const auto& injection = *trims.injection;
    for (const auto* point : points) {
        duty_row(table,
                 *point,
                 "primary",
                 highest(*point, &Duty::primary),
                 injection.primary.duty_limit);
        if (injection.secondary) {
            duty_row(table,
                     *point,
                     "secondary",
                     highest(*point, &Duty::secondary),
                     injection.secondary->duty_limit);
        }
    }
    return table.text("Injector duty");
}

std::string fixed_table(const TrimResult& trims, const std::vector<const TrimPoint*>& points) {
    if (points.size() < 2 || points.size() > most_fuel_columns) return "";
    std::vector<std::string> heads = {"Trims taken from"};
    for (const auto* at : points) heads.push_back("at " + escaped(at->name));
    Table table("Spread of air over fuel in % if the trims of one point were kept at all of them",
                heads);
    std::vector<Cell> none = {{"no trim", ""}};
    for (const auto* at : points) none.push_back({fixed(percent(at->spread), 1), ""});
    table.row(none);
    for (const auto* from : points) {
        std::vector<Cell> cells = {{escaped(from->name), ""}};
        for (const auto* at : points) {
            const auto found =
                std::find_if(trims.fixed.begin(), trims.fixed.end(), [&](const auto& f) {
                    return f.from == from->name && f.at == at->name;
                });
            cells.push_back(
                found == trims.fixed.end()
                    ? Cell{"-", "none"}
                    : Cell{fixed(percent(found->spread_fixed), 1) +
                               (found->worse ? "<br><small>worse than none</small>" : ""),
                           found->worse ? "alarm" : ""});
        }
        table.row(cells);
    }
    return "<h3>One fixed trim for all points</h3>\n" + table.text("Fixed trims");
}

std::string nitrous_table(const std::vector<const TrimPoint*>& points) {
    Table table("Nitrous: oxygen and fuel by mass from the measured flow",
                {"Point",
                 "Cylinder",
                 "Nitrous<br>g/s",
                 "Extra fuel<br>g/s",
                 "Lambda without<br>the extra fuel",
                 "Lambda, fuel line<br>10 % low"});
    bool any = false;
    for (const auto* point : points) {
        for (const auto& n : point->nitrous) {
            any = true;
            table.row({{escaped(point->name), ""},
                       {std::to_string(n.cylinder), ""},
                       {fixed(to_unit(n.flow, "g/s"), 2), ""},
                       {fixed(to_unit(n.extra_fuel, "g/s"), 2), ""},
                       {fixed(n.lambda_without_fuel, 3), "alarm"},
                       {fixed(n.lambda_fuel_low, 3), ""}});
        }
    }
    return any ? "<h3>Nitrous</h3>\n" + table.text("Nitrous") + paragraph(escaped(nitrous_limits()))
               : "";
}

std::vector<std::string> escaped_all(const std::vector<std::string>& lines) {
    std::vector<std::string> all;
    for (const auto& line : lines) all.push_back(in_words(line));
    return all;
}

std::string risks(const std::vector<const TrimPoint*>& points) {
    std::vector<std::string> items;
    for (const auto* point : points) {
        items.push_back(
            fmt::format("<strong>{}:</strong> {}", escaped(point->name), escaped(point->risk)));
    }
    return "<h3>Leanest cylinder on equal fuel</h3>\n" + list(items, "watch");
}

std::string trims_text(const TrimResult& trims) {
    const auto points = by_speed(trims);
    if (points.empty()) return paragraph("No point converged: no trims are given.");
    std::string text;
    if (!trims.errors.empty()) {
        text += "<div class=\"careful\"><p><strong>Do not use these trims:</strong></p>" +
                list(escaped_all(trims.errors)) + "</div>\n";
    }
    text += paragraph("<strong>" + escaped(trim_sign()) +
                      ".</strong> Trims belong to cylinder numbers, not to firing positions; they "
                      "sum to nothing before they are rounded, and ties go rich.");
    text += trim_table(trims, points) + lambda_table(points) + risks(points);
    if (!trims.warnings.empty()) {
        text += "<h3>Watch</h3>\n" + list(escaped_all(trims.warnings), "watch");
    }
    text += "<h3>Injectors</h3>\n" + duty_table(trims, points) + fixed_table(trims, points) +
            nitrous_table(points);
    return text + paragraph(in_words(trim_start_advice()) +
                                " Whoever calibrates the engine decides and answers for it; local "
                                "codes and event rules apply.",
                            "careful");
}

}  // namespace

std::string fuel_text(const Case& design, const SolveResult& result, bool alone) {
    TrimOptions options;
    options.alone = alone;
    try {
        return trims_text(trim(design, result, options));
    } catch (const InputError& error) {
        return paragraph("No trims: " + escaped(error.what()), "note");
    }
}

std::string fuel_section(const Place& place) {
    if (!place.source.design) return "";
    return section(place.id("fuel"),
                   "For the tuner: fuel and trims",
                   fuel_text(*place.source.design, place.result(), false));
}

}  // namespace plenair::html

#include "cases/report/html/learned.hpp"

#include "cases/report/html/parts.hpp"
#include "cases/report/words/numbers.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <cmath>

namespace plenair::html {

namespace {

using geometry::to_unit;

std::string of_unit(double value, const std::string& unit, int decimals) {
    return number_text(unit.empty() ? value : to_unit(value, unit), decimals);
}

int digits_of(const std::string& unit) {
    return unit.empty() ? 3 : unit == "degC" ? 0 : 1;
}

std::string half_of(double half, const std::string& unit) {
    if (!(half > 0)) return "-";
    // Of a temperature it is a difference.
    return "&plusmn;" + (unit == "degC" ? fixed(half, 0) : of_unit(half, unit, digits_of(unit)));
}

std::string entries_table(const FitResult& fit) {
    Table table("Entries that are not known exactly, before and after the readings; bands are 95 %",
                {"Entry", "Unit", "Before", "Band", "After", "Band", "Remark"});
    for (const std::size_t column : {1U, 6U}) table.words(column);
    for (const auto& e : fit.entries) {
        const bool length = e.unit == "mm";
        const std::string unit(fit.units.in_place_of(e.unit));
        const auto shown = [&](double value) {
            return length ? fixed(to_unit(value, unit), fit.units.inches() ? 4 : 3)
                          : number_text(value, 3);
        };
        const double narrower = e.before_half > 0 ? 1 - e.after_half / e.before_half : 0;
        std::string remark = e.at_bound           ? "at its bound: look there first"
                             : e.gauged           ? "gauged"
                             : e.before_half <= 0 ? "free"
                                                  : "";
        if (narrower > 0.05 && !e.at_bound) {
            remark += (remark.empty() ? "" : ", ") +
                      fmt::format("band {} % narrower", fixed(percent(narrower), 0));
        }
        if (!e.whose.empty()) {
            remark += (remark.empty() ? "" : ", ") + escaped(e.whose);
        }
        table.row({{"<code>" + escaped(e.key) + "</code>", ""},
                   {escaped(unit), "word"},
                   {shown(e.before), ""},
                   {e.before_half > 0 ? "&plusmn;" + shown(e.before_half) : "-", ""},
                   {shown(e.after), "strong"},
                   {"&plusmn;" + shown(e.after_half), ""},
                   {remark, e.at_bound ? "alarm word" : "word"}});
    }
    return table.text("Entries before and after");
}

std::string readings_table(const FitResult& fit) {
    Table table("Every reading, and what was predicted for it before and after",
                {"Reading",
                 "Unit",
                 "Measured",
                 "Uncertainty",
                 "Before",
                 "After",
                 "Off, in<br>its deviations"});
    table.words(1);
    for (const auto& r : fit.all_readings) {
        const int decimals = digits_of(r.unit);
        table.row(
            {{escaped(r.name), ""},
             {escaped(r.unit), "word"},
             {of_unit(r.value, r.unit, decimals), "strong"},
             {half_of(r.half, r.unit), ""},
             {of_unit(r.before, r.unit, decimals), ""},
             {of_unit(r.after, r.unit, decimals), ""},
             {number_text(r.residual, 1) + (r.misfit ? "<br><small>does not fit</small>" : ""),
              r.misfit ? "alarm" : ""}});
    }
    return "<details><summary>Every reading in numbers</summary>\n" +
           table.text("Readings and predictions") + "</details>\n";
}

std::string air_table(const FitResult& fit) {
    if (fit.air.empty()) return "";
    std::size_t most = 0;
    for (const auto& at : fit.air) most = std::max(most, at.after.size());
    std::vector<std::string> heads = {"Point", "Spread before<br>%", "Spread after<br>%"};
    for (std::size_t c = 0; c < most; ++c) heads.push_back(fmt::format("Cyl. {}<br>%", c + 1));
    Table table("Spread and bias of each cylinder with the fitted entries, each with its 95 % band",
                heads);
    for (const auto& at : fit.air) {
        const auto banded = [](const std::string& value, double half) {
            return fmt::format("{} <small>&plusmn;{}</small>", value, fixed(percent(half), 1));
        };
        std::vector<Cell> cells = {
            {escaped(at.point), ""},
            {banded(fixed(percent(at.spread_before), 1), at.spread_before_half), ""},
            {banded(fixed(percent(at.spread_after), 1), at.spread_after_half), "strong"}};
        for (std::size_t c = 0; c < most; ++c) {
            cells.push_back(c < at.after.size()
                                ? Cell{banded(bias_text(at.after[c]), at.after_half[c]),
                                       bias_class(at.after[c], at.after_half[c])}
                                : Cell{"-", "none"});
        }
        table.row(cells);
    }
    return table.text("Air after the readings");
}

std::string faults_text(const FitResult& fit) {
    if (fit.faults.empty()) return "";
    std::vector<std::string> items;
    for (const auto& f : fit.faults) {
        const std::string line =
            fmt::format("{} %: {}", fixed(percent(f.probability), 0), escaped(f.text));
        items.push_back(f.named ? "<strong>" + line + "</strong>" : line);
    }
    items.push_back(fmt::format("{} %: no fault.", fixed(percent(fit.no_fault), 0)));
    return "<h3>Faults by probability</h3>\n" + list(items, "watch");
}

std::string splits_table(const FitResult& fit) {
    if (fit.splits.empty()) return "";
    Table table("Lambda of each cylinder, read less predicted, and what it is made of",
                {"Cylinder", "Excess", "Air", "Injector", "Sensor", "Unexplained"});
    const auto signed3 = [](double value) {
        const std::string text = number_text(value, 3);
        // What rounds to nothing has no sign.
        return value > 0 && text != "0.000" ? "+" + text : text;
    };
    for (const auto& s : fit.splits) {
        if (!s.measured) {
            table.row({{std::to_string(s.cylinder), ""},
                       {"not measured", "none"},
                       {"-", "none"},
                       {"-", "none"},
                       {"-", "none"},
                       {"-", "none"}});
            continue;
        }
        table.row({{std::to_string(s.cylinder), ""},
                   {signed3(s.excess), "strong"},
                   {signed3(s.air), ""},
                   {signed3(s.injector), ""},
                   {signed3(s.sensor), ""},
                   {signed3(s.unexplained), ""}});
    }
    return "<h3>What lambda is made of</h3>\n" + table.text("Lambda by cause");
}

std::string next_table(const FitResult& fit) {
    if (fit.next.empty()) return "";
    Table table("What would narrow the bands most for its effort, best first",
                {"Measure", "Narrows the band<br>of the spread, %", "Narrows most", "By, %"});
    for (const std::size_t column : {0U, 2U}) table.words(column);
    for (const auto& n : fit.next) {
        table.row({{escaped(n.what), "word"},
                   {fixed(percent(n.spread_narrows), 0), "strong"},
                   {n.entry.empty() ? "-" : "<code>" + escaped(n.entry) + "</code>", "word"},
                   {n.entry.empty() ? "-" : fixed(percent(n.entry_narrows), 0), ""}});
    }
    return "<h3>What to measure next</h3>\n" + table.text("What to measure next");
}

std::string taps_text(const FitResult& fit) {
    std::string text;
    for (const auto& tap : fit.taps) {
        const std::string unit(fit.units.in_place_of("mm"));
        std::vector<std::string> heads = {"x, " + unit};
        for (const auto& point : tap.points) heads.push_back(escaped(point) + "<br>kPa");
        heads.emplace_back("Remark");
        Table table("Pressure while each cylinder draws: largest less smallest of the cylinders",
                    heads);
        table.words(heads.size() - 1);
        for (std::size_t i = 0; i < tap.places.size(); ++i) {
            const auto& place = tap.places[i];
            std::vector<Cell> cells = {
                {fixed(to_unit(place.x, unit), fit.units.decimals("mm", 0)), ""}};
            for (const double unlike : place.unlike) {
                cells.push_back({fixed(to_unit(unlike, "kPa"), 2), i == tap.best ? "strong" : ""});
            }
            cells.push_back({place.in_mouth  ? "in a bell mouth: not there"
                             : i == tap.best ? "most alike"
                                             : "",
                             "word"});
            table.row(cells);
        }
        text += paragraph(escaped(tap.words) + ".") +
                table.text(escaped(geometry::bank_prefix(tap.bank)) + "Places of a pressure tap");
    }
    return text.empty() ? text : "<h3>Where to put the pressure tap</h3>\n" + text;
}

std::string lines(const char* head, const std::vector<std::string>& all) {
    if (all.empty()) return "";
    std::vector<std::string> items;
    for (const auto& line : all) items.push_back(escaped(line));
    return fmt::format("<h3>{}</h3>\n", head) + list(items, "watch");
}

}  // namespace

std::string learned_text(const Learned& learned, const Case& design) {
    const FitResult& fit = learned.fit;
    std::string text;
    if (fit.made_up) {
        text += paragraph("<strong>Example:</strong> these readings are made up, not of metal.",
                          "careful");
    }
    text += paragraph(escaped(fit.summary), "verdict");
    if (!fit.converged) return text;
    text += reading_charts(learned, design) + "<h3>What was learned</h3>\n" + entries_table(fit);
    text += lines("Not told apart", fit.alike);
    if (!fit.air.empty()) {
        text += "<h3>Bands before and after</h3>\n" + band_chart(fit) + air_table(fit);
    }
    text += faults_text(fit) + splits_table(fit) + next_table(fit) + taps_text(fit);
    text += lines("Notes", fit.notes);
    text += lines("Uncertainties that the file does not state", fit.defaults);
    text += readings_table(fit);
    return text + paragraph(
                      "<code>plenair fit ... -o fitted.toml</code> writes the case with what "
                      "was fitted; bands of what it solves are then these. New trims are in "
                      "what <code>plenair fit</code> prints: come from the rich side.",
                      "note");
}

std::string learned_section(const Place& place) {
    if (!place.source.learned || !place.source.design) return "";
    return section(place.id("learned"),
                   "What was measured",
                   learned_text(*place.source.learned, *place.source.design));
}

}  // namespace plenair::html

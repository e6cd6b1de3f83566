#include "cases/report/html/parts.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/study/difference.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace plenair::html {

namespace {

using geometry::to_unit;

std::string head(const Sources& sources, std::size_t index) {
    return fmt::format("<b>{}</b> {}",
                       static_cast<char>('A' + static_cast<int>(index % 26)),
                       escaped(sources[index].name));
}

/// Names of the points in the order in which they first appear.
std::vector<std::string> point_names(const Sources& sources) {
    std::vector<std::string> names;
    for (const auto& source : sources) {
        for (const auto& point : source.result.points) {
            if (std::find(names.begin(), names.end(), point.name) == names.end()) {
                names.push_back(point.name);
            }
        }
    }
    return names;
}

const PointResult* find_point(const SolveResult& result, const std::string& name) {
    for (const auto& point : result.points) {
        if (point.name == name) return &point;
    }
    return nullptr;
}

using ShownBy = std::string (*)(const PointResult&);

/// One number of all results, side by side: a row a point, a column a result.
std::string side_by_side(const Sources& sources, const std::string& caption, ShownBy shown) {
    std::vector<std::string> heads = {"Point"};
    for (std::size_t i = 0; i < sources.size(); ++i) heads.push_back(head(sources, i));
    Table table(caption, heads);
    for (const auto& name : point_names(sources)) {
        std::vector<Cell> cells = {{escaped(name), ""}};
        for (const auto& source : sources) {
            const auto* point = find_point(source.result, name);
            const bool stands = point != nullptr && point->converged;
            cells.push_back({stands             ? shown(*point)
                             : point == nullptr ? "-"
                                                : "no result",
                             stands ? "" : "none"});
        }
        table.row(cells);
    }
    return table.text(caption);
}

std::string spread_of(const PointResult& point) {
    return fixed(percent(point.spread), 1);
}

std::string losses_of(const PointResult& point) {
    const double loss = point.throttle_loss + point.slot_loss + point.mouth_loss;
    return number_text(percent(loss / point.source_pressure), 1);
}

std::string air_of(const PointResult& point) {
    return fixed(to_unit(point.air_flow, "g/s"), 1);
}

std::string inputs_text(const DifferenceResult& d, const std::string& a, const std::string& b) {
    if (d.inputs.empty()) return paragraph("No entry of the case differs.");
    Table table("What went in", {"Entry", a, b});
    for (const std::size_t column : {1U, 2U}) table.words(column);
    for (const auto& input : d.inputs) {
        table.row({{escaped(input.key), "word"},
                   {input.before.empty() ? "not there" : escaped(input.before), "word"},
                   {input.after.empty() ? "not there" : escaped(input.after), "word"}});
    }
    return table.text("Entries that differ");
}

/// So many numbers stand open; more are folded away until they are asked for.
constexpr std::size_t most_open = 60;

/// A number in its trade unit, without the unit.
std::string trade_number(const OutputChange& o, double value) {
    const int decimals = o.unit == "1" ? 3 : o.unit == "m/s" ? 0 : o.unit == "kPa" ? 2 : 1;
    return number_text(for_people(value, o.unit), decimals);
}

std::string change_text(const OutputChange& o) {
    if (o.inside_band()) return "none: inside &plusmn;" + fixed(percent(o.band), 1) + " %";
    const std::string change = bias_text(o.change);
    return o.kind == ChangeKind::of_mean_air ? change + " % of air" : change + " %";
}

std::string outputs_text(const DifferenceResult& d, const std::string& a, const std::string& b) {
    if (d.outputs.empty()) return paragraph("No number of the results differs by more than 0.1 %.");
    Table table("What came out, from 0.1 % on", {"Point", "Number", "Unit", a, b, "Change"});
    for (const std::size_t column : {1U, 2U}) table.words(column);
    for (const auto& o : d.outputs) {
        const std::string of = o.cylinder > 0 ? fmt::format(", cylinder {}", o.cylinder) : "";
        table.row({{escaped(o.point), ""},
                   {escaped(o.text) + of, "word"},
                   {o.unit == "1" ? "" : escaped(o.unit), "word"},
                   {trade_number(o, o.before), ""},
                   {trade_number(o, o.after), ""},
                   {change_text(o), o.inside_band() ? "none" : ""}});
    }
    return fmt::format(
               "<details{}><summary>All {} numbers that differ by more than 0.1 %</summary>\n",
               d.outputs.size() <= most_open ? " open" : "",
               d.outputs.size()) +
           table.text("Numbers that differ") + "</details>\n";
}

/// A result as one side of a comparison; without what is not compared.
Revision revision(const ReportSource& source) {
    Revision side;
    side.path = source.name;
    side.result = source.result;
    if (source.design) {
        side.echo = source.design->echo;
    } else {
        side.echo_fault = "the case text of this result could not be read";
    }
    return side;
}

std::string pair_text(const Sources& sources, std::size_t index) {
    const auto d = difference(revision(sources.front()), revision(sources[index]));
    const std::string before = head(sources, 0), after = head(sources, index);
    std::string text = fmt::format("<h3>{} against {}</h3>\n", after, before);
    text += paragraph(escaped(d.summary));
    std::vector<std::string> warnings;
    for (const auto& warning : d.warnings) warnings.push_back(escaped(warning));
    text += list(warnings, "watch");
    return text + inputs_text(d, before, after) + outputs_text(d, before, after);
}

}  // namespace

std::string comparison_section(const Sources& sources, bool scripted) {
    const Place place{sources.front(), 0, true, scripted};
    std::string text = side_by_side(sources, "Spread, %", spread_of);
    text +=
        chart(place,
              "comparison",
              "Spread of every result against engine speed",
              "Spread against speed, one line a result, lettered at its end. Two results differ "
              "only where their spreads are more than 0.5 % apart.");
    text += side_by_side(
        sources, "Losses of throttle, slot and bell mouths together, % of the pressure", losses_of);
    text += side_by_side(sources, "Air flow, g/s", air_of);
    for (std::size_t i = 1; i < sources.size(); ++i) text += pair_text(sources, i);
    return section("comparison", "Comparison", text);
}

}  // namespace plenair::html

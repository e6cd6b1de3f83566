#include "cases/report/bench_compare.hpp"

#include "cases/report/csv/cell.hpp"
#include "cases/report/json/tools.hpp"
#include "cases/report/terminal.hpp"
#include "cases/report/terminal/paint.hpp"
#include "cases/report/words/caution.hpp"
#include "cases/report/words/numbers.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace plenair {

namespace {

using geometry::to_unit;

constexpr auto item_row = "{:<16} {:>7} {:>8} {:>8} {:>7} {:>9} {:>7} {:>8}  {}\n";

std::string flow_table(const BenchComparison& result) {
    std::string text = fmt::format(
        item_row, "reading", "inH2O", "CFM", "g/s", "Cd", "predicted", "Cd", "off %", "verdict");
    for (const auto& item : result.items) {
        text += fmt::format(item_row,
                            item.name,
                            fixed(to_unit(item.depression, "inH2O"), 1),
                            fixed(to_unit(item.flow / item.density, "CFM"), 1),
                            fixed(to_unit(item.flow, "g/s"), 1),
                            item.computed ? fixed(item.cd, 3) : "-",
                            item.computed ? fixed(to_unit(item.predicted, "g/s"), 1) : "-",
                            item.computed ? fixed(item.predicted_cd, 3) : "-",
                            item.computed ? signed_percent(item.difference) : "-",
                            item.verdict);
    }
    return text;
}

std::string item_lines(const BenchItem& item, const geometry::OutputUnits& units) {
    std::string text = fmt::format("\n{}\n", item.name);
    if (!item.computed) {
        return text + "  could not be computed: " + item.failure + "\n";
    }
    if (item.leakage > 0) {
        text += fmt::format("  leakage {} g/s ({} %) taken off\n",
                            fixed(to_unit(item.leakage, "g/s"), 2),
                            fixed(percent(item.leakage / item.flow_read), 1));
    }
    text += fmt::format("  on {}, isentropic, room air {} kg/m3\n",
                        geometry::format_as(item.reference_area, "mm2", 0, units),
                        fixed(item.density, 4));
    text += fmt::format(
        "  bands (95 %): reading +/-{} %, sizes within the shop's limits +/-{} %, coefficients "
        "+/-{} %\n",
        fixed(percent(item.reading_band), 1),
        fixed(percent(item.size_band), 1),
        fixed(percent(item.model_band), 1));
    bool first = true;
    for (const auto& e : item.explanations) {
        text += fmt::format("  {} {} instead of {}{}{}\n",
                            first ? e.entry : "so would " + e.entry,
                            geometry::format_limit(e.needed, units),
                            geometry::format_limit(e.drawn, units),
                            first ? " would explain it" : "",
                            e.within_limits ? ", within the shop's limits" : "");
        first = false;
    }
    for (const auto& remark : item.remarks) {
        text += "  " + remark + "\n";
    }
    return text;
}

std::string gauge_table(const BenchComparison& result) {
    if (result.gauges.empty()) {
        return "";
    }
    constexpr auto line = "{:<{}} {:<22} {:>9} {:>9} {:>9}  {}\n";
    std::size_t widest = 18;
    for (const auto& g : result.gauges) {
        widest = std::max(widest, g.entry.size());
    }
    const std::string unit(result.units.in_place_of("mm"));
    const int decimals = result.units.inches() ? 4 : 3;
    std::string text = "\n" + fmt::format(line,
                                          "gauged",
                                          widest,
                                          "at",
                                          "found " + unit,
                                          "drawn " + unit,
                                          "limit " + unit,
                                          "verdict");
    for (const auto& g : result.gauges) {
        text += fmt::format(line,
                            g.entry,
                            widest,
                            g.place,
                            fixed(to_unit(g.value, unit), decimals),
                            fixed(to_unit(g.drawn, unit), decimals),
                            g.limit > 0 ? fixed(to_unit(g.limit, unit), decimals) : "-",
                            g.verdict);
    }
    return text;
}

}  // namespace

std::string terminal_text(const BenchComparison& result, bool colour) {
    const Paint paint(colour);
    std::string text = report_head(paint, result.title, result.case_digest) +
                       readings_head(paint, result.measured_title, result.made_up, result.summary);
    if (!result.items.empty()) {
        text += "\n" + flow_table(result);
    }
    for (const auto& item : result.items) {
        text += item_lines(item, result.units);
    }
    text += gauge_table(result);
    for (const auto& d : result.defaults) {
        text += (&d == &result.defaults.front() ? "\nUncertainties that the file does not state:\n"
                                                : "") +
                std::string("  ") + d + "\n";
    }
    return text + "\n" + model_limits() + "\n" + cautions();
}

std::string json_text(const BenchComparison& result) {
    Json json = json_head("plenair.bench-compare/1", result.title, result.case_digest);
    json["measured_title"] = result.measured_title;
    json["made_up"] = result.made_up;
    json["summary"] = result.summary;
    json["readings"] = Json::array();
    for (const auto& item : result.items) {
        Json explanations = Json::array();
        for (const auto& e : item.explanations) {
            explanations.push_back({{"entry", e.entry},
                                    {"drawn_m", json_number(e.drawn)},
                                    {"needed_m", json_number(e.needed)},
                                    {"within_limits", e.within_limits}});
        }
        json["readings"].push_back(
            {{"name", item.name},
             {"computed", item.computed},
             {"depression_pa", json_number(item.depression)},
             {"density_kg_m3", json_number(item.density)},
             {"flow_read_kg_s", json_number(item.flow_read)},
             {"leakage_kg_s", json_number(item.leakage)},
             {"flow_kg_s", json_number(item.flow)},
             {"reference_area_m2", json_number(item.reference_area)},
             {"cd", json_number(item.cd)},
             {"predicted_flow_kg_s", json_number(item.predicted)},
             {"predicted_cd", json_number(item.predicted_cd)},
             {"difference_percent", json_number(percent(item.difference))},
             {"reading_band_percent", json_number(percent(item.reading_band))},
             {"size_band_percent", json_number(percent(item.size_band))},
             {"model_band_percent", json_number(percent(item.model_band))},
             {"verdict", item.verdict},
             {"explanations", explanations},
             {"remarks", item.remarks}});
    }
    json["gauges"] = Json::array();
    for (const auto& g : result.gauges) {
        json["gauges"].push_back({{"entry", g.entry},
                                  {"place", g.place},
                                  {"value_m", json_number(g.value)},
                                  {"drawn_m", json_number(g.drawn)},
                                  {"limit_m", json_number(g.limit)},
                                  {"uncertainty_m", json_number(g.uncertainty)},
                                  {"verdict", g.verdict}});
    }
    json["assumed_uncertainties"] = result.defaults;
    json["warnings"] = result.warnings;
    return json_dump(json);
}

std::string csv_text(const BenchComparison& result) {
    std::string text =
        "reading,depression_pa,density_kg_m3,flow_g_s,leakage_g_s,cd,predicted_g_s,predicted_cd,"
        "difference_percent,reading_band_percent,size_band_percent,model_band_percent,verdict\n";
    for (const auto& item : result.items) {
        text += fmt::format("{},{},{},{},{},{},{},{},{},{},{},{},{}\n",
                            csv_cell(item.name),
                            item.depression,
                            item.density,
                            converted(item.flow, "g/s"),
                            converted(item.leakage, "g/s"),
                            item.cd,
                            converted(item.predicted, "g/s"),
                            item.predicted_cd,
                            percent(item.difference),
                            percent(item.reading_band),
                            percent(item.size_band),
                            percent(item.model_band),
                            csv_cell(item.verdict));
    }
    return text;
}

}  // namespace plenair

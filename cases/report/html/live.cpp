#include "cases/report/html/live.hpp"

#include "cases/report/drawing/drawing.hpp"
#include "cases/report/html/parts.hpp"
#include "cases/report/sheet/sheet.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/study/machining.hpp"
#include "geometry/error.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace plenair::html {

namespace {

using geometry::to_unit;

std::string loss_figure(const PointResult& point, const char* term, double loss) {
    return tile(term,
                number_text(percent(loss / point.source_pressure), 1) + " %",
                number_text(to_unit(loss, "kPa"), 2) + " kPa");
}

std::string leanest_figure(const SolveResult& result) {
    const Verdict v = verdict(result);
    return !v.leanest.empty() ? tile("Leanest on equal fuel",
                                     geometry::cylinder_words(v.leanest),
                                     bias_text(v.leanest_bias) + " % air")
                              : tile("Leanest on equal fuel", "none", "inside the band");
}

std::string band_words(const PointResult& point) {
    return point.bias_band > 0
               ? "band &plusmn;" + fixed(std::max(percent(point.bias_band), 0.1), 1) + " %"
               : std::string("no band yet");
}

/// End bias of each bank, and between which cylinders it is; of several banks their spreads too.
std::string end_bias_tiles(const PointResult& point) {
    std::string text;
    for (const auto& bank : point.banks) {
        const std::string of = bank.name.empty() ? "" : ", " + escaped(bank.name);
        if (!bank.name.empty()) {
            text += tile("Spread inside" + of,
                         fixed(percent(bank.spread), 1) + " %",
                         fixed(percent(bank.share), 1) + " % of the air");
        }
        const std::string ends = geometry::end_bias_words({bank.cylinders, bank.first, bank.last});
        if (!ends.empty()) text += tile("End bias" + of, bias_text(bank.end_bias) + " %", ends);
    }
    return text;
}

std::string machining_text(const MachiningSheet& sheet) {
    std::string text;
    // Regions of several banks have each their own name.
    const std::string of =
        sheet.bank.empty() ? "" : ", " + escaped(geometry::bank_words(sheet.bank));
    if (!sheet.bank.empty()) text += "<h4>Slot" + of + "</h4>\n";
    const auto scrolled =
        [](const std::string& label, const std::string& table, const char* style = "") {
            return fmt::format(
                "<div class=\"scroll{}\" tabindex=\"0\" role=\"region\" "
                "aria-label=\"{}\">\n{}</div>\n",
                style,
                label,
                table);
        };
    const auto size_of = [&sheet](double length) { return sheet::size_text(length, sheet.units); };
    const std::string in =
        sheet.units.inches() ? "inches (mm in brackets)" : "mm (inches in brackets)";
    Table table("Slot width in " + in + " with its limits and pin gauges",
                {"Station",
                 "x from the end wall",
                 "Width",
                 "Smallest",
                 "Largest",
                 "GO pin<br>must enter",
                 "NO-GO pin<br>must not enter"});
    for (const auto& station : sheet.stations) {
        table.row({{std::to_string(station.number), ""},
                   {geometry::format_as(station.x, "mm", 1, sheet.units), ""},
                   {size_of(station.width.nominal), "strong"},
                   {size_of(station.width.low), ""},
                   {size_of(station.width.high), ""},
                   {size_of(station.go), ""},
                   {size_of(station.no_go), ""}});
    }
    text += table.text("Slot width by station" + of) +
            scrolled("Sizes of the slot" + of, sheet::sizes_table(sheet), " sheet");
    std::string costs = sheet::costs_table(sheet);
    costs.insert(costs.find('>', costs.find("<table")) + 1,
                 "<caption><span>What a deviation costs</span></caption>");
    return text + scrolled("What a deviation costs" + of, costs);
}

}  // namespace

std::string model_section(const Place& place) {
    if (!place.source.live) return "";
    return section(place.id("model"),
                   "Working model",
                   paragraph("The working model runs only in a browser with scripts and "
                             "WebAssembly; here every figure is the stored one.",
                             "note model-off"));
}

std::string live_figures(const Case&, const SolveResult& result) {
    const auto& point = result.points.front();
    std::string text = tile("Spread", fixed(percent(point.spread), 1) + " %", band_words(point));
    text += leanest_figure(result);
    text += end_bias_tiles(point);
    text += tile("Air flow",
                 fixed(to_unit(point.air_flow, "g/s"), 1) + " g/s",
                 fixed(to_unit(point.air_flow, "lb/min"), 1) + " lb/min, VE " +
                     fixed(point.volumetric_efficiency, 3));
    text += loss_figure(point, "Throttle loss", point.throttle_loss);
    if (point.slot_loss != 0) {
        text += loss_figure(point, "Slot loss", point.slot_loss);
        text += tile("Slot Mach, peak",
                     fixed(point.slot_mach, 2),
                     "choke margin " + fixed(percent(point.choke_margin), 0) + " %");
    }
    text += loss_figure(point, "Bell mouth loss", point.mouth_loss);
    return "<dl class=\"tiles\">\n" + text + "</dl>\n";
}

std::string live_bias(const Case&, const SolveResult& result) {
    return bias_panel(result.points.front());
}

std::string live_speeds(const SolveResult& result, double target) {
    return curve_charts(result, target);
}

std::string live_losses(const Case&, const SolveResult& result) {
    return loss_bars(result) + loss_table(result);
}

std::string live_row_heads(const SolveResult& result) {
    std::string text;
    const auto head = [&text](const std::string& name) {
        text += "<th scope=\"col\">" + name + "</th>";
    };
    head("Point");
    head("Speed<br>rpm");
    head("Throttle<br>kPa abs");
    for (const int number : cylinder_numbers(result)) head(fmt::format("Cyl. {}", number));
    head("Spread<br>%");
    head("End bias<br>%");
    head("Losses<br>%");
    head("Air flow<br>g/s");
    return "<tr>" + text + "</tr>\n";
}

std::string live_row(const Case&, const SolveResult& result) {
    const auto& point = result.points.front();
    std::string text = "<th scope=\"row\">" + escaped(point.name) + "</th>";
    const auto cell = [&text](const std::string& content, const std::string& style = "") {
        text += style.empty() ? "<td>" + content + "</td>"
                              : fmt::format("<td class=\"{}\">{}</td>", style, content);
    };
    cell(rpm_text(point.speed));
    cell(fixed(to_unit(point.source_pressure, "kPa"), 1));
    for (const int number : cylinder_numbers(result)) {
        const auto* c = find_cylinder(point, number);
        if (c != nullptr) cell(bias_text(c->bias), bias_class(c->bias, least_difference(point)));
    }
    cell(fixed(percent(point.spread), 1), "strong");
    cell(bias_text(point.end_bias));
    cell(number_text(
        percent((point.throttle_loss + point.slot_loss + point.mouth_loss) / point.source_pressure),
        1));
    cell(fixed(to_unit(point.air_flow, "g/s"), 1));
    return "<tr>" + text + "</tr>\n";
}

std::string live_watch(const Case& c, const SolveResult& result) {
    return list(watch_items(result, &c), "watch");
}

std::string live_trims(const Case& c, const SolveResult& result) {
    return paragraph("Trims of this point alone; each point has its own.", "note") +
           fuel_text(c, result, true);
}

std::string live_machining(const Case& c, const std::vector<geometry::SlotShop>& shops) {
    try {
        std::string text;
        for (const auto& sheet : machining_sheets(c, shops)) text += machining_text(sheet);
        return text;
    } catch (const InputError&) {
        return "";  // no slot, or none that could be machined from what the case states
    }
}

std::string live_drawing(const Case& c, const std::vector<geometry::SlotShop>& shops) {
    DrawingOptions options;
    options.title = c.title;
    options.id = "live-drawing-picture";
    options.units = c.units;
    options.shops = shops;
    return "<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"Drawing\">\n" +
           drawing_svg(c.intake, options) + "</div>\n";
}

}  // namespace plenair::html

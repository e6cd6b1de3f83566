#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/report/html_tools.hpp"
#include "cases/report/numbers.hpp"
#include "cases/report/sheet.hpp"

namespace plenair::sheet {

namespace {

constexpr std::size_t roomy_stations = 12;  ///< more of them get lower rows, for one side
constexpr const char* pen = "<td class=\"pen\"></td>";

std::string millimetres(double length, int decimals) {
    return fixed(converted(length, "mm"), decimals);
}

std::string inches(double length) {
    return fixed(converted(length, "in"), 4);
}

/// "+0.66 %"; a change of slot flow that rounds to nothing has no sign.
std::string change_text(double change) {
    const std::string text = fixed(percent(change), 2);
    const bool plain = text == "0.00" || text.front() == '-';
    return (plain ? text : "+" + text) + "&nbsp;%";
}

std::string between(const SizeLimits& size) {
    return fmt::format("{} to {}", size_text(size.low), size_text(size.high));
}

std::string row(const std::string& head, const std::string& size, const std::string& allowed) {
    return fmt::format(
        "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td></tr>\n", head, size, allowed);
}

std::string datum_row(const std::string& head, const std::string& what) {
    return fmt::format("<tr><th scope=\"row\">{}</th><td colspan=\"2\">{}</td></tr>\n", head, what);
}

bool holes(const MachiningSheet& sheet) {
    return sheet.slot.pieces.empty();
}

std::string width_rows(const MachiningSheet& sheet) {
    const auto& first = sheet.stations.front();
    const std::string name = holes(sheet) ? "Width or diameter of each hole" : "Width";
    const std::string way = "\u00b1" + size_text(sheet.slot.limits.width) + " at every station";
    return one_width(sheet) ? row(name,
                                  size_text(first.width.nominal),
                                  between(first.width) + ", at every station")
                            : row(name, "as the table of stations", way);
}

/// Lengths along x of holes that are not round, neighbours of one length together.
std::string hole_length_rows(const MachiningSheet& sheet, const std::string& way) {
    const auto& list = sheet.slot.holes;
    std::string rows;
    for (std::size_t i = 0; i < list.size();) {
        std::size_t next = i + 1;
        while (next < list.size() && std::abs(list[next].length - list[i].length) < 1e-9) {
            ++next;
        }
        if (!drawing::round(list[i])) {
            rows += row(next - i > 1 ? fmt::format("Length of holes {} to {}", i + 1, next)
                                     : fmt::format("Length of hole {}", i + 1),
                        size_text(list[i].length),
                        way);
        }
        i = next;
    }
    return rows;
}

std::string place_rows(const MachiningSheet& sheet) {
    const std::string way = "\u00b1" + size_text(sheet.slot.limits.length);
    if (holes(sheet)) {
        return row("Hole centres, from B", "as the table of stations", way) +
               hole_length_rows(sheet, way);
    }
    std::string rows;
    for (std::size_t i = 0; i < sheet.slot.pieces.size(); ++i) {
        const auto& piece = sheet.slot.pieces[i];
        const std::string which =
            sheet.slot.pieces.size() > 1 ? fmt::format("Piece {}", i + 1) : std::string("Slot");
        rows += row(which + " start, from B", size_text(piece.x), way);
        rows += row(which + " length", size_text(piece.length), way);
    }
    return rows;
}

/// The same with its units, for running text.
std::string length_text(double length) {
    return fmt::format("{}&nbsp;mm ({}&nbsp;in)", millimetres(length, 2), inches(length));
}

std::string cost_row(const std::string& what,
                     const std::string& larger,
                     const std::string& smaller) {
    return fmt::format(
        "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td></tr>\n", what, larger, smaller);
}

}  // namespace

bool one_width(const MachiningSheet& sheet) {
    const auto& list = sheet.stations;
    return std::all_of(list.begin(), list.end(), [&list](const MachiningStation& each) {
        return std::abs(each.width.nominal - list.front().width.nominal) < 1e-9;
    });
}

std::string size_text(double length) {
    return fmt::format("{} ({})", millimetres(length, 2), inches(length));
}

std::string sizes_table(const MachiningSheet& sheet) {
    const auto& slot = sheet.slot;
    std::string rows;
    rows += datum_row("Datum A", "face of the wall on the pre-chamber side");
    rows += datum_row("Datum B", "inside face of the end wall, x = 0");
    rows += datum_row("Datum C", "centre line of the slot");
    rows += width_rows(sheet);
    if (!holes(sheet)) {
        rows += row("Taper: width at the last station less width at the first",
                    "as drawn",
                    "at most " + size_text(slot.limits.taper) + " either way beyond the drawing");
    }
    rows += place_rows(sheet);
    rows += row("Inlet edges, side A, both sides",
                slot.edge_radius > 0 ? "radius " + size_text(slot.edge_radius) : "sharp",
                (slot.edge_radius > 0 ? "radius " + between(sheet.inlet_radius)
                                      : "rounding at most " + size_text(sheet.inlet_radius.high)) +
                    ", along the whole edge");
    rows += row("Outlet edges, side D, both sides",
                "sharp",
                "break at most " + size_text(sheet.outlet_break));
    rows += row("Land: wall thickness at the slot", size_text(slot.land), between(sheet.land));
    rows +=
        row("Flatness of face A beside the slot", "", "within " + size_text(slot.limits.flatness));
    rows += row("Surface of land and edges",
                "",
                fmt::format("Ra {} \u00b5m ({} \u00b5in) or finer",
                            fixed(converted(slot.limits.surface, "um"), 1),
                            fixed(converted(slot.limits.surface, "in") * 1e6, 0)));
    rows += slot.limits.material.empty()
                ? "<tr><th scope=\"row\">Material</th><td class=\"pen\" colspan=\"2\"></td></tr>\n"
                : fmt::format("<tr><th scope=\"row\">Material</th><td colspan=\"2\">{}</td></tr>\n",
                              html::escaped(slot.limits.material));
    return "<table class=\"sizes\"><caption>Sizes in mm (inches in brackets) at 20 \u00b0C (68 "
           "\u00b0F)</caption>\n"
           "<thead><tr><th scope=\"col\">Feature</th><th scope=\"col\">Drawn</th>"
           "<th scope=\"col\">Allowed</th></tr></thead>\n<tbody>\n" +
           rows + "</tbody></table>\n";
}

std::string stations_table(const MachiningSheet& sheet) {
    std::string rows;
    for (const auto& station : sheet.stations) {
        rows += fmt::format(
            "<tr><th scope=\"row\">{}</th><td>{} ({})</td><td>{}</td><td>{}</td><td>{}</td>{}{}{}"
            "</tr>\n",
            station.number,
            millimetres(station.x, 1),
            fixed(converted(station.x, "in"), 3),
            size_text(station.width.nominal),
            size_text(station.go),
            size_text(station.no_go),
            pen,
            pen,
            pen);
    }
    return fmt::format(
        "<table class=\"stations{}\"><caption>{} stations, fill in by pen</caption>\n<thead><tr>"
        "<th scope=\"col\">No.</th><th scope=\"col\">x from B<br>mm (in)</th>"
        "<th scope=\"col\">{}<br>mm (in)</th><th scope=\"col\">GO pin<br>must enter</th>"
        "<th scope=\"col\">NO-GO pin<br>must not enter</th><th scope=\"col\">Width<br>measured"
        "</th><th scope=\"col\">Inlet radius<br>edge 1</th><th scope=\"col\">Inlet radius<br>edge "
        "2</th></tr></thead>\n<tbody>\n{}</tbody></table>\n",
        sheet.stations.size() > roomy_stations ? " many" : "",
        sheet.stations.size(),
        holes(sheet) ? "Width or<br>diameter" : "Width",
        rows);
}

std::string other_blanks_table(const MachiningSheet& sheet) {
    std::string rows;
    const auto line = [&rows](const std::string& what, const std::string& allowed) {
        rows +=
            fmt::format("<tr><th scope=\"row\">{}</th><td>{}</td>{}</tr>\n", what, allowed, pen);
    };
    if (!holes(sheet)) {
        line("Taper, last station less first", "at most " + size_text(sheet.slot.limits.taper));
    }
    line("Land, at the first station", between(sheet.land));
    line("Land, at the last station", between(sheet.land));
    line("Flatness of face A", "within " + size_text(sheet.slot.limits.flatness));
    line("Largest break of the outlet edges", "at most " + size_text(sheet.outlet_break));
    return "<table class=\"others\">\n<thead><tr><th scope=\"col\">What"
           "</th><th scope=\"col\">Allowed</th><th scope=\"col\">Measured</th></tr></thead>\n"
           "<tbody>\n" +
           rows + "</tbody></table>\n";
}

std::string costs_table(const MachiningSheet& sheet) {
    std::string rows = cost_row("Width, everywhere, by " + length_text(sheet.width_step),
                                change_text(sheet.of_width_step.larger),
                                change_text(sheet.of_width_step.smaller));
    const std::string step = length_text(sheet.radius_step);
    if (sheet.slot.edge_radius > 0) {
        rows += cost_row("Inlet edge radius, by " + step,
                         change_text(sheet.of_radius_step.larger),
                         change_text(sheet.of_radius_step.smaller));
        rows += cost_row("Inlet edges left sharp", "", change_text(sheet.of_sharp_edge));
    } else {
        rows += cost_row("Inlet edges, drawn sharp, rounded by " + step,
                         change_text(sheet.of_radius_step.larger),
                         "");
        rows += cost_row("Inlet edges, drawn sharp, broken by " + length_text(sheet.break_step),
                         change_text(sheet.of_broken_edge),
                         "");
    }
    const double equal =
        sheet.width_step * sheet.of_radius_step.larger / sheet.of_width_step.larger;
    std::string words = fmt::format("{} mm of edge radius counts as much as {} mm of width.",
                                    millimetres(sheet.radius_step, 1),
                                    millimetres(equal, 2));
    if (!holes(sheet)) {
        words += fmt::format(
            " A taper of {} from end to end with the mean width kept: {} in all, but the wide end "
            "passes {} more than the narrow end.",
            length_text(sheet.slot.limits.taper),
            change_text(sheet.of_taper_total),
            change_text(sheet.of_taper_ends).substr(1));
    }
    return "<table class=\"costs\">\n<thead><tr><th scope=\"col\">Flow through the slot changes "
           "with</th>"
           "<th scope=\"col\">if larger</th><th scope=\"col\">if smaller</th></tr></thead>\n"
           "<tbody>\n" +
           rows + "</tbody></table>\n" + html::paragraph(words + " Computed from these sizes.");
}

std::string edge_rules(const MachiningSheet& sheet) {
    const std::string inlet =
        sheet.slot.edge_radius > 0
            ? fmt::format(
                  "Inlet edges (side A): cut the radius with a form cutter, both sides of the slot "
                  "alike, running smoothly into land and face. No chamfer in its place. Check with "
                  "radius gauges {} and {} mm at every station.",
                  millimetres(sheet.inlet_radius.low, 2),
                  millimetres(sheet.inlet_radius.high, 2))
            : fmt::format(
                  "Inlet edges (side A): sharp and free of burrs, rounded by at most {} mm. Do not "
                  "break them.",
                  millimetres(sheet.inlet_radius.high, 2));
    const std::string outlet = fmt::format(
        "Outlet edges (side D): sharp, burr removed, break at most {} mm, even along the length.",
        millimetres(sheet.outlet_break, 2));
    const std::string burrs =
        "Take burrs off with a stone, along the edge. No tumbling, brushing, blasting or filing by "
        "eye after the edges are cut: it changes the radius. Edge states as ISO 13715.";
    const std::string chips =
        "<strong>Remove all chips: they go into an engine.</strong> Wash, blow out from both "
        "sides, look through against a light, and cover the openings.";
    return html::list({inlet,
                       outlet,
                       burrs,
                       "Any coating comes off the width: sizes hold after coating.",
                       chips});
}

std::string cautions_text() {
    const std::string hands =
        "Cutters, edges and chips injure: guards, eye protection, no gloves near turning tools; "
        "clamp thin walls so that they cannot lift. The shop's own rules and the maker's "
        "instructions come first.";
    const std::string pressure =
        "The finished part may hold pressure. Strength, welds and proof test (with liquid, never "
        "with air) are not covered by this sheet; they are for a competent, where required "
        "licensed, person under local rules.";
    const std::string standing =
        "This sheet is a calculation, not an approval. Local codes, event rules, insurers and "
        "licensed professionals decide. If drawing and table disagree, stop and ask.";
    return html::list({hands, pressure, standing});
}

}  // namespace plenair::sheet

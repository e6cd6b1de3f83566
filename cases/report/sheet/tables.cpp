#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>

#include "cases/report/markup/markup.hpp"
#include "cases/report/sheet/sheet.hpp"
#include "cases/report/words/numbers.hpp"
#include "geometry/slot_holes.hpp"

namespace plenair::sheet {

namespace {

using geometry::OutputUnits;

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

std::string row(const std::string& head, const std::string& size, const std::string& allowed) {
    return fmt::format(
        "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td></tr>\n", head, size, allowed);
}

std::string datum_row(const std::string& head, const std::string& what) {
    return fmt::format("<tr><th scope=\"row\">{}</th><td colspan=\"2\">{}</td></tr>\n", head, what);
}

std::string width_rows(const MachiningSheet& sheet) {
    const auto& first = sheet.stations.front();
    const std::string name = width_name(sheet) + (holes(sheet) ? " of each hole" : "");
    const std::string way =
        "\u00b1" + size_text(sheet.slot.limits.width, sheet.units) + " at every station";
    return one_width(sheet) ? row(name,
                                  size_text(first.width.nominal, sheet.units),
                                  between(first.width, sheet.units) + ", at every station")
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
        if (!geometry::is_round(list[i])) {
            rows += row(next - i > 1 ? fmt::format("Length of holes {} to {}", i + 1, next)
                                     : fmt::format("Length of hole {}", i + 1),
                        size_text(list[i].length, sheet.units),
                        way);
        }
        i = next;
    }
    return rows;
}

std::string place_rows(const MachiningSheet& sheet) {
    const std::string way = "\u00b1" + size_text(sheet.slot.limits.length, sheet.units);
    if (holes(sheet)) {
        return row("Hole centres, from B", "as the table of stations", way) +
               hole_length_rows(sheet, way);
    }
    std::string rows;
    for (std::size_t i = 0; i < sheet.slot.pieces.size(); ++i) {
        const auto& piece = sheet.slot.pieces[i];
        const std::string which =
            sheet.slot.pieces.size() > 1 ? fmt::format("Piece {}", i + 1) : std::string("Slot");
        rows += row(which + " start, from B", size_text(piece.x, sheet.units), way);
        rows += row(which + " length", size_text(piece.length, sheet.units), way);
    }
    return rows;
}

/// Where the slot stands across the wall.
std::string across_row(const MachiningSheet& sheet) {
    const double offset = sheet.shop.offset;
    const std::string way = "\u00b1" + size_text(sheet.slot.limits.length, sheet.units);
    std::string place = "on C";
    if (std::abs(offset) > 1e-9) {
        place = fmt::format("{} {} C, seen from A with B on the left",
                            size_text(std::abs(offset), sheet.units),
                            offset > 0 ? "above" : "below");
    }
    if (sheet.wall_height) {
        place += fmt::format("; {} from the {}",
                             size_text(0.5 * *sheet.wall_height + offset, sheet.units),
                             std::abs(offset) > 1e-9 ? "lower side face" : "side faces");
    }
    return row(holes(sheet) ? "Line of the holes, across the wall" : "Centre line, across the wall",
               place,
               way);
}

/// How the ends of the slot look, and what that takes of the opening.
std::string ends_row(const MachiningSheet& sheet) {
    const auto& shop = sheet.shop;
    const std::string head = holes(sheet) ? "Corners of the holes" : "Ends of the slot";
    if (round_holes(sheet)) {
        return "";
    }
    const std::string over = holes(sheet) ? "" : "length is over all, end to end";
    const std::string assumed = shop.ends_stated ? "" : " (default: none stated)";
    switch (shop.ends) {
        case geometry::SlotEnds::full_radius:
            return row(head, "full radius" + assumed, over);
        case geometry::SlotEnds::cutter:
            return row(head,
                       fmt::format("corner radius {}: cutter {}",
                                   size_text(0.5 * shop.cutter, sheet.units),
                                   size_text(shop.cutter, sheet.units)),
                       "no larger radius" + (over.empty() ? over : "; " + over));
        case geometry::SlotEnds::square:
            break;
    }
    return row(head, "square" + assumed, over);
}

/// The same with its units, for running text.
std::string length_text(double length, const OutputUnits& units) {
    const auto mm = millimetres(length, 2) + "&nbsp;mm";
    const auto in = inches(length) + "&nbsp;in";
    return units.inches() ? fmt::format("{} ({})", in, mm) : fmt::format("{} ({})", mm, in);
}

/// "mm (in)", as the numbers of a table stand.
std::string roughness_text(double surface, const OutputUnits& units) {
    const auto um = fixed(converted(surface, "um"), 1) + " \u00b5m";
    // Steps of the shops' series are named by round numbers: 3.2 um are 125 uin (ASME B46.1).
    const double exact = converted(surface, "in") * 1e6;
    constexpr std::array<double, 10> series{2, 4, 8, 16, 32, 63, 125, 250, 500, 1000};
    const auto step = std::find_if(series.begin(), series.end(), [exact](double each) {
        return std::abs(exact / each - 1) < 0.02;
    });
    const auto uin = fixed(step != series.end() ? *step : exact, 0) + " \u00b5in";
    return units.inches() ? fmt::format("Ra {} ({}) or finer", uin, um)
                          : fmt::format("Ra {} ({}) or finer", um, uin);
}

/// A gauge as it is marked: "2.00 mm", "5/64 in (0.0781)".
std::string gauge_name(double size, const OutputUnits& units) {
    if (!units.inches()) {
        return millimetres(size, 2) + "&nbsp;mm";
    }
    auto top = std::lround(converted(size, "in") * 64);
    long bottom = 64;
    while (top % 2 == 0 && bottom > 1) {
        top /= 2;
        bottom /= 2;
    }
    const auto whole = top / bottom;
    const std::string fraction = bottom == 1 ? fmt::format("{}", whole)
                                 : whole > 0 ? fmt::format("{} {}/{}", whole, top % bottom, bottom)
                                             : fmt::format("{}/{}", top, bottom);
    return fmt::format("{}&nbsp;in ({})", fraction, inches(size));
}

/// How to judge the inlet radius with gauges that a shop has.
std::string gauges_text(const MachiningSheet& sheet) {
    const auto& gauges = sheet.gauges;
    const auto name = [&](double size) { return gauge_name(size, sheet.units); };
    const std::string outside =
        gauges.below > 0
            ? fmt::format("{} and {} must show light", name(gauges.below), name(gauges.above))
            : fmt::format("{} must show light", name(gauges.above));
    return gauges.fits
               ? fmt::format(
                     "Radius gauges at every station: {} fits, {}.", name(*gauges.fits), outside)
               : fmt::format(
                     "No gauge of a usual set lies within the limits: measure a cast or "
                     "under magnification; {}.",
                     outside);
}

std::string cost_row(const std::string& what,
                     const std::string& larger,
                     const std::string& smaller) {
    return fmt::format(
        "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td></tr>\n", what, larger, smaller);
}

}  // namespace

std::string both(double length, const OutputUnits& units, int of_mm, int of_inch) {
    const auto mm = millimetres(length, of_mm);
    const auto in = fixed(converted(length, "in"), of_inch);
    return units.inches() ? fmt::format("{} ({})", in, mm) : fmt::format("{} ({})", mm, in);
}

std::string between(const SizeLimits& size, const OutputUnits& units) {
    return fmt::format("{} to {}", size_text(size.low, units), size_text(size.high, units));
}

bool holes(const MachiningSheet& sheet) {
    return sheet.slot.pieces.empty();
}

bool round_holes(const MachiningSheet& sheet) {
    const auto& list = sheet.slot.holes;
    return holes(sheet) && std::all_of(list.begin(), list.end(), geometry::is_round);
}

std::string part_name(const MachiningSheet& sheet) {
    return holes(sheet) ? "row of holes" : "slot";
}

std::string face_caption(const MachiningSheet& sheet) {
    return holes(sheet) ? "Row of holes seen from side A" : "Slot seen from side A";
}

std::string section_caption(const MachiningSheet& sheet) {
    return holes(sheet) ? "First hole cut across" : "Slot cut across";
}

std::string width_name(const MachiningSheet& sheet) {
    const auto& list = sheet.slot.holes;
    return std::none_of(list.begin(), list.end(), geometry::is_round) ? "Width"
           : round_holes(sheet)                                       ? "Diameter"
                                                                      : "Width or diameter";
}

const char* units_text(const MachiningSheet& sheet) {
    return sheet.units.inches() ? "in (mm)" : "mm (in)";
}

bool one_width(const MachiningSheet& sheet) {
    const auto& list = sheet.stations;
    return std::all_of(list.begin(), list.end(), [&list](const MachiningStation& each) {
        return std::abs(each.width.nominal - list.front().width.nominal) < 1e-9;
    });
}

std::string size_text(double length, const OutputUnits& units) {
    return both(length, units, 2, 4);
}

std::string sizes_table(const MachiningSheet& sheet) {
    const auto& slot = sheet.slot;
    std::string rows;
    rows += datum_row("Datums",
                      "A face of the wall on the pre-chamber side; B inside face of the end wall, "
                      "x = 0; C middle of the wall, between its side faces");
    rows += width_rows(sheet);
    if (!holes(sheet)) {
        rows += row("Taper: last station less first",
                    "as drawn",
                    "at most " + size_text(slot.limits.taper, sheet.units) +
                        " either way beyond the drawing");
    }
    rows += place_rows(sheet) + across_row(sheet) + ends_row(sheet);
    rows +=
        row(holes(sheet) ? "Inlet edge of each hole, side A" : "Inlet edges, side A, both sides",
            slot.edge_radius > 0 ? "radius " + size_text(slot.edge_radius, sheet.units) : "sharp",
            (slot.edge_radius > 0
                 ? "radius " + between(sheet.inlet_radius, sheet.units)
                 : "rounding at most " + size_text(sheet.inlet_radius.high, sheet.units)) +
                ", along the whole edge");
    rows +=
        row(holes(sheet) ? "Outlet edge of each hole, side D" : "Outlet edges, side D, both sides",
            outlet_is_cut(slot) ? "radius " + size_text(slot.outlet_edge, sheet.units) : "sharp",
            outlet_is_cut(slot)
                ? "radius " + between(sheet.outlet_radius, sheet.units) + ", along the whole edge"
                : "break at most " + size_text(sheet.outlet_break, sheet.units));
    rows +=
        row(holes(sheet) ? "Land: wall thickness at the holes" : "Land: wall thickness at the slot",
            size_text(slot.land, sheet.units),
            between(sheet.land, sheet.units));
    rows += row("Squareness of the land to face A",
                "",
                "within " + size_text(sheet.shop.squareness, sheet.units) + " over the land");
    rows += row(
        holes(sheet) ? "Flatness of face A beside the holes" : "Flatness of face A beside the slot",
        "",
        "within " + size_text(slot.limits.flatness, sheet.units));
    rows += row("Surface of land and edges", "", roughness_text(slot.limits.surface, sheet.units));
    rows += slot.limits.material.empty()
                ? "<tr><th scope=\"row\">Material</th><td class=\"pen\" colspan=\"2\"></td></tr>\n"
                : fmt::format("<tr><th scope=\"row\">Material</th><td colspan=\"2\">{}</td></tr>\n",
                              html::escaped(slot.limits.material));
    return std::string("<table class=\"sizes\"><caption>Sizes in ") +
           (sheet.units.inches() ? "inches (mm in brackets)" : "mm (inches in brackets)") +
           " at 20 \u00b0C (68 \u00b0F)</caption>\n"
           "<thead><tr><th scope=\"col\">Feature</th><th scope=\"col\">Drawn</th>"
           "<th scope=\"col\">Allowed</th></tr></thead>\n<tbody>\n" +
           rows + "</tbody></table>\n";
}

std::string costs_table(const MachiningSheet& sheet) {
    std::string rows = cost_row(
        width_name(sheet) + ", everywhere, by " + length_text(sheet.width_step, sheet.units),
        change_text(sheet.of_width_step.larger),
        change_text(sheet.of_width_step.smaller));
    const std::string step = length_text(sheet.radius_step, sheet.units);
    if (sheet.slot.edge_radius > 0) {
        rows += cost_row("Inlet edge radius, by " + step,
                         change_text(sheet.of_radius_step.larger),
                         change_text(sheet.of_radius_step.smaller));
        rows += cost_row("Inlet edges left sharp", "", change_text(sheet.of_sharp_edge));
    } else {
        rows += cost_row("Inlet edges, drawn sharp, rounded by " + step,
                         change_text(sheet.of_radius_step.larger),
                         "");
        rows += cost_row(
            "Inlet edges, drawn sharp, broken by " + length_text(sheet.break_step, sheet.units),
            change_text(sheet.of_broken_edge),
            "");
    }
    if (sheet.of_ends < 0) {
        rows += cost_row("Ends as drawn, against the square ends that were computed",
                         "",
                         change_text(sheet.of_ends));
    }
    const double equal =
        sheet.width_step * sheet.of_radius_step.larger / sheet.of_width_step.larger;
    std::string name = width_name(sheet);
    name.front() = static_cast<char>(std::tolower(static_cast<unsigned char>(name.front())));
    std::string words = fmt::format("{} of edge radius counts as much as {} of {}.",
                                    length_text(sheet.radius_step, sheet.units),
                                    length_text(equal, sheet.units),
                                    name);
    if (!holes(sheet)) {
        words += fmt::format(
            " A taper of {} from end to end with the mean width kept: {} in all, but the wide end "
            "passes {} more than the narrow end.",
            length_text(sheet.slot.limits.taper, sheet.units),
            change_text(sheet.of_taper_total),
            change_text(sheet.of_taper_ends).substr(1));
    }
    return std::string("<table class=\"costs\">\n<thead><tr><th scope=\"col\">Flow through the ") +
           (holes(sheet) ? "holes" : "slot") +
           " changes with</th>"
           "<th scope=\"col\">if larger</th><th scope=\"col\">if smaller</th></tr></thead>\n"
           "<tbody>\n" +
           rows + "</tbody></table>\n" + html::paragraph(words + " Computed from these sizes.");
}

std::string edge_rules(const MachiningSheet& sheet) {
    const std::string inlet =
        sheet.slot.edge_radius > 0
            ? fmt::format(
                  "Inlet edges (side A): cut the radius with a form cutter, {}, running smoothly "
                  "into "
                  "land and face. No chamfer in its place. {}",
                  holes(sheet) ? "every hole alike and all round" : "both sides of the slot alike",
                  gauges_text(sheet))
            : fmt::format(
                  "Inlet edges (side A): sharp and free of burrs, rounded by at most {}. Do not "
                  "break them.",
                  length_text(sheet.inlet_radius.high, sheet.units));
    const bool cut = outlet_is_cut(sheet.slot);
    const std::string outlet =
        fmt::format("Outlet edges (side D): {} {}{}, even {}.",
                    cut ? "cut the radius of" : "sharp, burr removed, break at most",
                    length_text(cut ? sheet.slot.outlet_edge : sheet.outlet_break, sheet.units),
                    cut ? " with a form cutter" : "",
                    holes(sheet) ? "all round" : "along the length");
    const std::string burrs =
        "Take burrs off with a stone, along the edge. No tumbling, brushing, blasting or filing by "
        "eye after the edges are cut: it changes the radius. Edge states as ISO 13715.";
    const std::string chips =
        "<strong>Remove all chips: they go into an engine.</strong> Wash, blow out from both "
        "sides, look through against a light, and cover the openings.";
    return html::list({inlet,
                       outlet,
                       burrs,
                       fmt::format("Any coating comes off the {}: sizes hold after coating.",
                                   round_holes(sheet) ? "diameter" : "width"),
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

#include "cases/report/sheet/sheet.hpp"

#include "cases/report/words/numbers.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

/// The second side of a machining sheet: what is measured and written down.
namespace plenair::sheet {

namespace {

constexpr std::size_t roomy_stations = 12;  ///< more of them get lower rows, for one side
constexpr std::size_t longest_table = 16;  ///< more rows leave no room for the rest of that side
constexpr std::size_t most_sizes = 4;  ///< of holes whose pins stand apart
constexpr std::size_t block_rows = 13;

/// A row a station: pins, and what was measured.
std::string long_table(const MachiningSheet& sheet) {
    std::string rows;
    for (const auto& station : sheet.stations) {
        rows += fmt::format(
            "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{}</td><td>{}</td>{}{}{}"
            "</tr>\n",
            station.number,
            both(station.x, sheet.units, 1, sheet.units.inches() ? 2 : 3),
            size_text(station.width.nominal, sheet.units),
            size_text(station.go, sheet.units),
            size_text(station.no_go, sheet.units),
            pen,
            pen,
            pen);
    }
    const char* place = holes(sheet) ? "place" : "edge";
    return fmt::format(
        "<table class=\"stations{}\"><caption>{} stations, fill in by pen</caption>\n<thead><tr>"
        "<th scope=\"col\">No.</th><th scope=\"col\">x from B<br>{}</th>"
        "<th scope=\"col\">{}<br>{}</th><th scope=\"col\">GO pin<br>must enter</th>"
        "<th scope=\"col\">NO-GO pin<br>must not enter</th><th scope=\"col\">{}<br>found"
        "</th><th scope=\"col\">Inlet radius<br>{} 1</th><th scope=\"col\">Inlet radius<br>{} "
        "2</th></tr></thead>\n<tbody>\n{}</tbody></table>\n",
        sheet.stations.size() > roomy_stations ? " many" : "",
        sheet.stations.size(),
        units_text(sheet),
        width_name(sheet),
        units_text(sheet),
        round_holes(sheet) ? "Diameter" : "Width",
        place,
        place,
        rows);
}

/// Stations of one width, for one pair of pins.
struct Pins {
    const MachiningStation* first;
    std::vector<int> stations;
};

std::vector<Pins> pins_of(const MachiningSheet& sheet) {
    std::vector<Pins> all;
    for (const auto& station : sheet.stations) {
        const auto same = std::find_if(all.begin(), all.end(), [&](const Pins& pins) {
            return size_text(pins.first->width.nominal, sheet.units) ==
                   size_text(station.width.nominal, sheet.units);
        });
        auto& pins = same == all.end() ? all.emplace_back(Pins{&station, {}}) : *same;
        pins.stations.push_back(station.number);
    }
    return all;
}

/// Many holes of few sizes: the pins of each size, then the holes in blocks side by side.
std::string block_tables(const MachiningSheet& sheet, const std::vector<Pins>& sizes) {
    std::string pins;
    for (const auto& size : sizes) {
        pins += fmt::format("<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{}</td></tr>\n",
                            size_text(size.first->width.nominal, sheet.units),
                            size_text(size.first->go, sheet.units),
                            size_text(size.first->no_go, sheet.units),
                            sizes.size() == 1 ? "all" : geometry::listed(size.stations));
    }
    const std::size_t count = sheet.stations.size(), blocks = (count - 1) / block_rows + 1,
                      rows = (count - 1) / blocks + 1;
    const std::string unit(sheet.units.in_place_of("mm"));
    std::string heads, body;
    for (std::size_t b = 0; b < blocks; ++b) {
        heads += fmt::format(
            "<th scope=\"col\">No.</th><th scope=\"col\">x from B<br>{}</th>"
            "<th scope=\"col\">{}<br>measured</th><th scope=\"col\">Inlet<br>radius</th>",
            unit,
            round_holes(sheet) ? "Diameter" : "Width");
    }
    for (std::size_t r = 0; r < rows; ++r) {
        body += "<tr>";
        for (std::size_t i = r; i < count; i += rows) {
            const std::string x = geometry::format_as(sheet.stations[i].x, "mm", 1, sheet.units);
            body += fmt::format("<th scope=\"row\">{}</th><td>{}</td>{}{}",
                                sheet.stations[i].number,
                                x.substr(0, x.find(' ')),
                                pen,
                                pen);
        }
        body += "</tr>\n";
    }
    return fmt::format(
        "<table class=\"pins\"><caption>Pins in {}</caption>\n<thead><tr>"
        "<th scope=\"col\">{}</th><th scope=\"col\">GO pin, must enter</th>"
        "<th scope=\"col\">NO-GO pin, must not enter</th><th scope=\"col\">At stations</th>"
        "</tr></thead>\n<tbody>\n{}</tbody></table>\n"
        "<table class=\"blocks many\"><caption>{} stations, fill in by pen</caption>\n"
        "<thead><tr>{}</tr></thead>\n<tbody>\n{}</tbody></table>\n",
        units_text(sheet),
        width_name(sheet),
        pins,
        count,
        heads,
        body);
}

}  // namespace

std::string stations_table(const MachiningSheet& sheet) {
    const auto sizes = pins_of(sheet);
    return holes(sheet) && sheet.stations.size() > longest_table && sizes.size() <= most_sizes
               ? block_tables(sheet, sizes)
               : long_table(sheet);
}

std::string other_blanks_table(const MachiningSheet& sheet) {
    std::string rows;
    const auto line = [&rows](const std::string& what, const std::string& allowed) {
        rows +=
            fmt::format("<tr><th scope=\"row\">{}</th><td>{}</td>{}</tr>\n", what, allowed, pen);
    };
    if (!holes(sheet)) {
        line("Taper, last station less first",
             "at most " + size_text(sheet.slot.limits.taper, sheet.units));
    }
    line("Land, at the first station", between(sheet.land, sheet.units));
    line("Land, at the last station", between(sheet.land, sheet.units));
    line("Squareness of the land to A", "within " + size_text(sheet.shop.squareness, sheet.units));
    line("Flatness of face A", "within " + size_text(sheet.slot.limits.flatness, sheet.units));
    if (outlet_is_cut(sheet.slot)) {
        line("Radius of the outlet edges", between(sheet.outlet_radius, sheet.units));
    } else {
        line("Largest break of the outlet edges",
             "at most " + size_text(sheet.outlet_break, sheet.units));
    }
    return "<table class=\"others\">\n<thead><tr><th scope=\"col\">What"
           "</th><th scope=\"col\">Allowed</th><th scope=\"col\">Measured</th></tr></thead>\n"
           "<tbody>\n" +
           rows + "</tbody></table>\n";
}

}  // namespace plenair::sheet

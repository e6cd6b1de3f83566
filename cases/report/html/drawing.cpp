#include "cases/report/drawing/drawing.hpp"
#include "cases/report/html/parts.hpp"
#include "cases/report/words/numbers.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

namespace plenair::html {

namespace {

/// Sizes as the case writes them, with their unit.
struct Sizes {
    geometry::OutputUnits units;

    /// With the digits of the drawing: 0.3125 in, not 0.312.
    [[nodiscard]] std::string length(double value) const {
        return drawing::drawn_size(drawing::in_mm(value), units) + " " +
               std::string(units.in_place_of("mm"));
    }
    [[nodiscard]] std::string area(double value) const {
        auto text = geometry::format_as(value, "mm2", 0, units);
        text.replace(text.size() - 1, 1, "&sup2;");
        return text;
    }
    [[nodiscard]] std::string volume(double value) const {
        auto text = geometry::format_as(value, "L", 2, units);
        if (text.ends_with("in3")) text.replace(text.size() - 1, 1, "&sup3;");
        return text;
    }
};

void chamber_row(Table& table,
                 const std::string& name,
                 const geometry::Chamber& chamber,
                 const Sizes& in) {
    table.row({{name, "word"},
               {fmt::format("length {}, section {} at x = 0, {} at the far end, {}",
                            in.length(chamber.length),
                            in.area(chamber.area.at(0)),
                            in.area(chamber.area.at(chamber.length)),
                            in.volume(chamber.volume())),
                "word"}});
}

void slot_rows(Table& table, const geometry::Slot& slot, const Sizes& in) {
    const auto edge = [&in](double radius) {
        return radius > 0 ? "radius " + in.length(radius) : std::string("sharp");
    };
    const std::string wall = fmt::format("land {}, inlet edge {}, outlet edge {}",
                                         in.length(slot.land),
                                         edge(slot.edge_radius),
                                         edge(slot.outlet_edge));
    for (const auto& piece : slot.pieces) {
        table.row({{"Slot", "word"},
                   {fmt::format("x {} to {}, mean width {}, {}",
                                in.length(piece.x),
                                in.length(piece.x + piece.length),
                                in.length(piece.area() / piece.length),
                                wall),
                    "word"}});
    }
    if (slot.holes.empty()) return;
    double area = 0;
    for (const auto& hole : slot.holes) area += hole.area;
    table.row({{"Holes", "word"},
               {fmt::format("{} with centres at x {} to {}, {} together, {}",
                            slot.holes.size(),
                            in.length(slot.holes.front().x),
                            in.length(slot.holes.back().x),
                            in.area(area),
                            wall),
                "word"}});
}

void runner_rows(Table& table, const geometry::Bank& bank, const Sizes& in) {
    for (std::size_t i = 0; i < bank.runners.size(); ++i) {
        const auto& runner = bank.runners[i];
        table.row({{fmt::format("Runner {}", geometry::cylinder_of(bank, i)), "word"},
                   {fmt::format("centre at x {}, {} to the valve, of it {} port; mouth {}, end {}, "
                                "bell radius {}",
                                in.length(runner.x),
                                in.length(runner.length),
                                in.length(runner.port_length),
                                in.length(runner.mouth_diameter()),
                                in.length(runner.diameter.at(runner.length)),
                                in.length(runner.bell_radius)),
                    "word"}});
    }
}

std::string dimension_table(const geometry::Bank& bank, const std::string& name, const Sizes& in) {
    Table table(name.empty() ? std::string("Dimensions")
                             : "Dimensions, " + escaped(geometry::bank_words(name)),
                {"Part", "As entered"});
    for (const std::size_t column : {0U, 1U}) table.words(column);
    for (std::size_t i = 0; i < bank.throttles.size(); ++i) {
        const auto& throttle = bank.throttles[i];
        const bool pre = throttle.feeds == geometry::FeedTarget::pre_chamber && bank.pre_chamber;
        table.row({{bank.throttles.size() > 1 ? fmt::format("Throttle {}", i + 1)
                                              : std::string("Throttle"),
                    "word"},
                   {fmt::format("bore {}, shaft {}, into the {} {}",
                                in.length(throttle.bore),
                                in.length(throttle.shaft),
                                pre ? "pre-chamber" : "plenum",
                                geometry::feed_place(throttle, in.units)),
                    "word"}});
    }
    if (bank.pre_chamber) chamber_row(table, "Pre-chamber", *bank.pre_chamber, in);
    if (bank.slot) slot_rows(table, *bank.slot, in);
    if (bank.plenum) chamber_row(table, "Plenum", *bank.plenum, in);
    runner_rows(table, bank, in);
    return table.text(name.empty() ? "Dimensions" : "Dimensions " + escaped(name));
}

}  // namespace

std::string drawing_section(const Place& place) {
    if (!place.source.design) return "";
    const auto& design = *place.source.design;
    DrawingOptions options;
    options.title = place.result().title;
    options.units = design.units;
    options.id = place.id("drawing-picture");
    options.shops = place.source.shops;
    std::string text =
        "<figure class=\"drawing\"><div class=\"scroll\" tabindex=\"0\" role=\"region\" "
        "aria-label=\"Drawing\">\n" +
        drawing_svg(design.intake, options) + "</div>\n<figcaption>The intake to scale, sizes in " +
        std::string(design.units.inches() ? "inches" : "millimetres") +
        ", as the case describes it; " + x_note(place) +
        " For cutting use the machining sheet and the DXF of <code>plenair draw</code>, not this "
        "picture.</figcaption></figure>\n";
    for (std::size_t i = 0; i < design.intake.banks.size(); ++i) {
        text += dimension_table(
            design.intake.banks[i], geometry::bank_name(design.intake, i), {design.units});
    }
    return section(place.id("drawing"), "Drawing", text);
}

}  // namespace plenair::html

#include "cases/report/drawing.hpp"
#include "cases/report/html_parts.hpp"
#include "cases/report/numbers.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

namespace plenair::html {

namespace {

using geometry::to_unit;

std::string mm(double length) {
    return fixed(to_unit(length, "mm"), 1);
}

std::string mm2(double area) {
    return fixed(to_unit(area, "mm2"), 0);
}

void chamber_row(Table& table, const std::string& name, const geometry::Chamber& chamber) {
    table.row(
        {{name, "word"},
         {fmt::format("length {} mm, section {} mm&sup2; at x = 0, {} mm&sup2; at the far end, "
                      "{} L",
                      mm(chamber.length),
                      mm2(chamber.area.at(0)),
                      mm2(chamber.area.at(chamber.length)),
                      fixed(to_unit(chamber.volume(), "L"), 2)),
          "word"}});
}

void runner_rows(Table& table, const geometry::Bank& bank) {
    for (std::size_t i = 0; i < bank.runners.size(); ++i) {
        const auto& runner = bank.runners[i];
        table.row({{fmt::format("Runner {}", geometry::cylinder_of(bank, i)), "word"},
                   {fmt::format("centre at x {} mm, {} mm to the valve, of it {} mm port; mouth "
                                "{} mm, end {} mm, bell radius {} mm",
                                mm(runner.x),
                                mm(runner.length),
                                mm(runner.port_length),
                                mm(runner.mouth_diameter()),
                                mm(runner.diameter.at(runner.length)),
                                mm(runner.bell_radius)),
                    "word"}});
    }
}

std::string dimension_table(const geometry::Bank& bank, const std::string& name) {
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
                   {fmt::format("bore {} mm, shaft {} mm, into the {} {}",
                                mm(throttle.bore),
                                mm(throttle.shaft),
                                pre ? "pre-chamber" : "plenum",
                                geometry::feed_place(throttle)),
                    "word"}});
    }
    if (bank.pre_chamber) chamber_row(table, "Pre-chamber", *bank.pre_chamber);
    if (bank.slot) {
        for (const auto& piece : bank.slot->pieces) {
            table.row(
                {{"Slot", "word"},
                 {fmt::format("x {} to {} mm, mean width {} mm, land {} mm, inlet edge radius {} "
                              "mm, outlet edge {} mm",
                              mm(piece.x),
                              mm(piece.x + piece.length),
                              fixed(to_unit(piece.area() / piece.length, "mm"), 2),
                              mm(bank.slot->land),
                              mm(bank.slot->edge_radius),
                              mm(bank.slot->outlet_edge)),
                  "word"}});
        }
    }
    if (bank.plenum) chamber_row(table, "Plenum", *bank.plenum);
    runner_rows(table, bank);
    return table.text(name.empty() ? "Dimensions" : "Dimensions " + escaped(name));
}

}  // namespace

std::string drawing_section(const Place& place) {
    if (!place.source.design) return "";
    const auto& design = *place.source.design;
    DrawingOptions options;
    options.title = place.result().title;
    options.id = place.id("drawing-picture");
    std::string text =
        "<figure class=\"drawing\"><div class=\"scroll\" tabindex=\"0\" role=\"region\" "
        "aria-label=\"Drawing\">\n" +
        drawing_svg(design.intake, options) +
        "</div>\n<figcaption>The intake to scale in millimetres, as the case describes it; " +
        x_note(place) +
        " For cutting use the machining sheet and the DXF of <code>plenair draw</code>, not this "
        "picture.</figcaption></figure>\n";
    for (std::size_t i = 0; i < design.intake.banks.size(); ++i) {
        text += dimension_table(design.intake.banks[i], geometry::bank_name(design.intake, i));
    }
    return section(place.id("drawing"), "Drawing", text);
}

}  // namespace plenair::html

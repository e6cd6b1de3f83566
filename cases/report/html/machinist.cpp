#include "cases/report/drawing/drawing.hpp"
#include "cases/report/html/parts.hpp"
#include "cases/report/sheet/sheet.hpp"
#include "cases/study/machining.hpp"
#include "geometry/error.hpp"
#include "geometry/places.hpp"

#include <fmt/format.h>

/// The machinist's page: the slot alone, as it is to be made.
namespace plenair::html {

namespace {

std::string picture_text(const sheet::Picture& picture,
                         const std::string& id,
                         const std::string& caption) {
    DrawingOptions options;
    options.title = caption;
    options.id = id;
    options.paper_scale = picture.scale;
    return fmt::format(
        "<figure class=\"shop\"><div class=\"scroll\" tabindex=\"0\" role=\"region\" "
        "aria-label=\"{0}\">\n{1}</div>\n<figcaption>{0}, scale {2} on paper at 100 "
        "%.</figcaption></figure>\n",
        caption,
        drawing_svg(picture.drawing, options),
        sheet::scale_text(picture.scale));
}

std::string sheet_text(const Place& place, const MachiningSheet& each, std::size_t number) {
    const std::string bank =
        each.bank.empty() ? "" : ", " + escaped(geometry::bank_words(each.bank));
    const std::string of = std::to_string(number);
    std::string text = bank.empty() ? "" : "<h3>Slot" + bank + "</h3>\n";
    text += picture_text(
        sheet::face_picture(each), place.id("slot-face-" + of), sheet::face_caption(each) + bank);
    text += "<div class=\"shop-pair\">\n" +
            picture_text(sheet::section_picture(each),
                         place.id("slot-section-" + of),
                         sheet::section_caption(each) + bank) +
            sheet::edge_rules(each) + "</div>\n";
    text +=
        "<div class=\"scroll sheet\" tabindex=\"0\" role=\"region\" aria-label=\"Sizes of the "
        "slot" +
        bank + "\">\n" + sheet::sizes_table(each) + "</div>\n";
    return text;
}

}  // namespace

std::string machinist_section(const Place& place) {
    if (!place.source.design) return "";
    std::string text;
    try {
        std::size_t number = 0;
        for (const auto& each : machining_sheets(*place.source.design, place.source.shops)) {
            text += sheet_text(place, each, ++number);
        }
    } catch (const InputError&) {
        return "";  // no slot, or none that could be machined from what the case states
    }
    text += paragraph(
        "The sheet to fill in, with its stations, pin gauges and what a deviation costs: "
        "<code>plenair draw case.toml --sheet -o slot.html</code>. Lengths for CAD: <code>plenair "
        "draw case.toml -o intake.dxf</code>. The shop's own rules come first; strength, welds and "
        "proof test are for a competent, where required licensed, person.",
        "careful");
    return section(place.id("machinist"), "For the machinist: the slot", text);
}

}  // namespace plenair::html

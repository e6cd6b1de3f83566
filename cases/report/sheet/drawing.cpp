#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "cases/report/sheet/sheet.hpp"
#include "cases/report/words/numbers.hpp"
#include "geometry/quantity.hpp"

namespace plenair::sheet {

using drawing::Align;
using drawing::in_mm;
using drawing::Layer;
using drawing::Measure;
using drawing::View;

namespace {

constexpr double text_on_paper = 2.7;  ///< [mm]
constexpr double face_width = 162;  ///< room for the part itself on paper [mm]
constexpr double section_width = 70;  ///< leaves room for the bar beside it
constexpr double section_height = 26;

double fitting_scale(double size, double room) {
    constexpr std::array scales{10.0, 5.0, 2.0, 1.0, 0.5, 0.4, 0.2, 0.1, 0.05, 0.02};
    for (const double scale : scales) {
        if (size * scale <= room) {
            return scale;
        }
    }
    return room / size;
}

/// All numbers in the unit of the sheet.
void show_in(View& view, const geometry::OutputUnits& units) {
    for (auto& dimension : view.dimensions) {
        dimension.units = units;
    }
}

double extent(const MachiningSheet& sheet) {
    double end = sheet.wall_length;
    for (const auto& piece : sheet.slot.pieces) {
        end = std::max(end, piece.x + piece.length);
    }
    for (const auto& hole : sheet.slot.holes) {
        end = std::max(end, hole.x + hole.length / 2);
    }
    return in_mm(end);
}

double half_width(const MachiningSheet& sheet) {
    double half = 0;
    for (const auto& station : sheet.stations) {
        half = std::max(half, in_mm(station.width.nominal) / 2);
    }
    return half;
}

/// Rounded to what a sheet gives: 0.01 mm or 0.0001 in.
double as_given(double length, const geometry::OutputUnits& units) {
    const char* unit = units.inches() ? "in" : "mm";
    const double steps = units.inches() ? 1e4 : 1e2;
    return geometry::from_unit(std::round(steps * converted(length, unit)) / steps, unit);
}

/// Datum C, the middle of the wall, and how far from it the slot stands.
void add_middle(View& view, const MachiningSheet& sheet, double end, double text) {
    const double middle = -in_mm(sheet.shop.offset);
    if (std::abs(middle) > 1e-6) {
        view.line(Layer::centre, {-1.5 * text, middle}, {end + 0.6 * text, middle});
        view.dimensions.push_back({Measure::along_y,
                                   {-0.6 * text, std::min(middle, 0.0)},
                                   {-0.6 * text, std::max(middle, 0.0)},
                                   -1.8 * text,
                                   drawing::tolerance_text(sheet.slot.limits.length, sheet.units)});
    }
    drawing::add_datum(view, {end + 0.6 * text, middle}, {1.7, 0}, "C");
}

}  // namespace

std::string scale_text(double scale) {
    return scale >= 1 ? drawing::drawn_number(scale) + ":1"
                      : "1:" + drawing::drawn_number(1 / scale);
}

Picture face_picture(const MachiningSheet& sheet) {
    Picture result;
    result.scale = fitting_scale(extent(sheet), face_width);
    const double text = text_on_paper / result.scale;
    View view;
    view.text = text;
    const double half = half_width(sheet);
    const double wall = std::max(half, std::abs(in_mm(sheet.shop.offset))) + 5.5 * text;
    const double end = extent(sheet);
    view.line(Layer::outline, {0, -wall}, {0, wall});
    drawing::add_datum(view, {0, wall - 1.2 * text}, {-1.7, 0}, "B");
    if (sheet.wall_length > 0) {
        view.line(Layer::outline, {end, -wall}, {end, wall});
    }
    view.line(Layer::centre, {-1.5 * text, 0}, {end + 0.6 * text, 0});
    add_middle(view, sheet, end, text);
    drawing::add_slot_outline(view, sheet.slot, sheet.shop);
    std::vector<double> places;
    for (const auto& station : sheet.stations) {
        places.push_back(in_mm(station.x));
    }
    drawing::add_stations(view, places, half);
    const std::string length_limit = drawing::tolerance_text(sheet.slot.limits.length, sheet.units);
    std::vector<double> ordinates{0};
    for (const auto& piece : sheet.slot.pieces) {
        const double from = in_mm(piece.x);
        const double to = in_mm(piece.x + piece.length);
        view.dimensions.push_back(
            {Measure::along_x, {from, half}, {to, half}, wall + 1.2 * text, length_limit});
        ordinates.push_back(from);
        ordinates.push_back(to);
    }
    for (const auto& hole : sheet.slot.holes) {
        ordinates.push_back(in_mm(hole.x));
    }
    std::sort(ordinates.begin(), ordinates.end());
    ordinates.erase(std::unique(ordinates.begin(), ordinates.end()), ordinates.end());
    const auto at = drawing::spread_apart(ordinates, 1.3 * text);
    for (std::size_t i = 0; i < ordinates.size(); ++i) {
        view.dimensions.push_back({Measure::ordinate_x,
                                   {0, 0},
                                   {ordinates[i], -half - 1.2 * text},
                                   -wall - 2 * text,
                                   {},
                                   false,
                                   at[i]});
    }
    result.drawing.description =
        fmt::format("{} with {} numbered stations; sizes are in the tables.",
                    face_caption(sheet),
                    sheet.stations.size());
    show_in(view, sheet.units);
    result.drawing.views.push_back(view);
    return result;
}

Picture section_picture(const MachiningSheet& sheet) {
    Picture result;
    const double width = as_given(sheet.stations.front().width.nominal, sheet.units);
    const double land = in_mm(sheet.slot.land);
    const double across =
        in_mm(width) + 2 * std::max({1.3 * land, 2 * in_mm(sheet.slot.edge_radius), 1.0});
    result.scale =
        std::min(fitting_scale(across, section_width), fitting_scale(land, section_height));
    geometry::Slot shown = sheet.slot;
    shown.outlet_edge = sheet.outlet_break;
    const drawing::SectionLabels labels{
        drawing::tolerance_text(sheet.slot.limits.width, sheet.units) +
            (one_width(sheet) ? "" : " at station 1"),
        drawing::tolerance_text(sheet.slot.limits.land, sheet.units),
        drawing::tolerance_text(sheet.slot.limits.edge_radius, sheet.units),
        drawing::outlet_text(sheet.slot, sheet.units),
        "side A, pre-chamber",
        "side D, plenum"};
    View view = drawing::slot_section_view(shown, width, text_on_paper / result.scale, labels);
    view.title.clear();
    result.drawing.description =
        fmt::format("{}: side A with its {} inlet edges above, side D with {} edges below.",
                    section_caption(sheet),
                    sheet.slot.edge_radius > 0 ? "rounded" : "sharp",
                    outlet_is_cut(sheet.slot) ? "rounded" : "sharp");
    show_in(view, sheet.units);
    result.drawing.views.push_back(view);
    return result;
}

}  // namespace plenair::sheet

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/report/drawing.hpp"
#include "cases/report/numbers.hpp"

/// The slot as seen from the pre-chamber, square to its wall, and its section.
namespace plenair::drawing {

double hole_width(const geometry::SlotHole& hole) {
    if (round(hole)) {
        return hole.length;
    }
    // Two sides of a hole: Dh = 2 A/(length + width).
    const double width =
        hole.hydraulic_diameter > 0 ? 2 * hole.area / hole.hydraulic_diameter - hole.length : 0;
    return width > 0 ? width : hole.area / hole.length;
}

bool round(const geometry::SlotHole& hole) {
    return std::abs(hole.hydraulic_diameter - hole.length) < 1e-9 &&
           hole.area < 0.9 * hole.length * hole.length;
}

namespace {

/// One place where a width is stated.
struct Station {
    double x = 0, width = 0;  ///< [mm]
};

/// Ends of a piece and the stations between them; only its start where the width does not change.
std::vector<Station> stations(const geometry::SlotPiece& piece) {
    const double end = piece.x + piece.length;
    std::vector<Station> list{{in_mm(piece.x), in_mm(piece.width.at(piece.x))}};
    if (piece.width.smallest() == piece.width.largest()) {
        return list;
    }
    for (const double x : piece.width.x()) {
        if (x > piece.x + 1e-9 && x < end - 1e-9) {
            list.push_back({in_mm(x), in_mm(piece.width.at(x))});
        }
    }
    list.push_back({in_mm(end), in_mm(piece.width.at(end))});
    return list;
}

void add_outline(View& view, const geometry::SlotPiece& piece) {
    auto list = stations(piece);
    if (list.size() == 1) {
        list.push_back({in_mm(piece.x + piece.length), list.front().width});
    }
    Polyline outline{Layer::slot, {}, true};
    std::vector<Point> below;
    for (const auto& station : list) {
        outline.points.push_back({station.x, station.width / 2});
        below.push_back({station.x, -station.width / 2});
    }
    outline.points.insert(outline.points.end(), below.rbegin(), below.rend());
    view.polylines.push_back(outline);
}

/// Width dimensions stand upright through the slot; one at the start of a constant piece is moved
/// inside, where its lines do not meet the end.
void add_widths(View& view, const geometry::SlotPiece& piece) {
    const auto list = stations(piece);
    if (list.size() == 1) {
        const double x = list.front().x + std::min(0.12 * in_mm(piece.length), 6 * view.text);
        const double half = list.front().width / 2;
        view.dimensions.push_back({Measure::along_y, {x, -half}, {x, half}, x, {}, false, 0, true});
        return;
    }
    for (const auto& station : list) {
        const double half = station.width / 2;
        view.dimensions.push_back({Measure::along_y,
                                   {station.x, -half},
                                   {station.x, half},
                                   station.x,
                                   {},
                                   false,
                                   0,
                                   true});
    }
}

void add_hole(View& view, const geometry::SlotHole& hole) {
    const double x = in_mm(hole.x);
    const double half = in_mm(hole.length) / 2;
    if (round(hole)) {
        view.arcs.push_back({Layer::slot, {x, 0}, half});
    } else {
        const double up = in_mm(hole_width(hole)) / 2;
        view.polylines.push_back(
            {Layer::slot,
             {{x - half, -up}, {x + half, -up}, {x + half, up}, {x - half, up}},
             true});
    }
    view.line(Layer::centre, {x, -half - view.text}, {x, half + view.text});
}

void add_hole_sizes(View& view, const std::vector<geometry::SlotHole>& holes, double top) {
    for (std::size_t i = 0; i < holes.size(); ++i) {
        const auto& hole = holes[i];
        const bool repeated = i > 0 && std::abs(hole.length - holes[i - 1].length) < 1e-9 &&
                              std::abs(hole.area - holes[i - 1].area) < 1e-12;
        if (repeated) {
            continue;
        }
        const double x = in_mm(hole.x);
        const double half = in_mm(hole.length) / 2;
        const double up = in_mm(hole_width(hole)) / 2;
        view.dimensions.push_back({Measure::along_x,
                                   {x - half, round(hole) ? 0 : up},
                                   {x + half, round(hole) ? 0 : up},
                                   top,
                                   {},
                                   round(hole)});
        if (!round(hole)) {
            view.dimensions.push_back(
                {Measure::along_y, {x + half, -up}, {x + half, up}, x + half + 0.8 * view.text});
        }
    }
}

/// Running dimensions from the wall x = 0 of every end, station and hole centre.
void add_ordinates(View& view, const geometry::Slot& slot, double bottom) {
    std::vector<double> x;
    for (const auto& piece : slot.pieces) {
        for (const auto& station : stations(piece)) {
            x.push_back(station.x);
        }
        x.push_back(in_mm(piece.x + piece.length));
    }
    for (const auto& hole : slot.holes) {
        x.push_back(in_mm(hole.x));
    }
    x.push_back(0);
    std::sort(x.begin(), x.end());
    x.erase(
        std::unique(x.begin(), x.end(), [](double a, double b) { return std::abs(a - b) < 1e-6; }),
        x.end());
    const auto at = spread_apart(x, 1.3 * view.text);
    for (std::size_t i = 0; i < x.size(); ++i) {
        view.dimensions.push_back({Measure::ordinate_x,
                                   {0, 0},
                                   {x[i], bottom},
                                   bottom - 3.2 * view.text,
                                   {},
                                   false,
                                   at[i]});
    }
}

/// Height that the dimensions of width need above the centre line: a narrow slot has their numbers
/// outside.
double top_of_widths(const View& view) {
    double top = 0;
    for (const auto& dimension : view.dimensions) {
        if (dimension.measure == Measure::along_y) {
            for (const auto& line : picture(dimension, view.text).lines) {
                for (const auto& point : line.points) {
                    top = std::max(top, point.y);
                }
            }
        }
    }
    return top;
}

double largest_half_width(const geometry::Slot& slot) {
    double half = 0;
    for (const auto& piece : slot.pieces) {
        half = std::max(half, in_mm(piece.width.largest()) / 2);
    }
    for (const auto& hole : slot.holes) {
        half = std::max(half, in_mm(hole_width(hole)) / 2);
    }
    return half;
}

}  // namespace

View slot_view(const geometry::Bank& bank, double text) {
    const auto& slot = *bank.slot;
    View view{"Slot, seen from the pre-chamber", text};
    view.in_line = true;
    const auto& room = bank.pre_chamber ? bank.pre_chamber : bank.plenum;
    double half = largest_half_width(slot);
    if (room) {
        const double wall =
            std::max(room->height ? in_mm(*room->height) / 2 : drawn_depth(*room, 0) / 2, half);
        const double length = in_mm(room->length);
        view.polylines.push_back(
            {Layer::outline, {{0, -wall}, {length, -wall}, {length, wall}, {0, wall}}, true});
        half = wall;
    }
    view.line(Layer::centre, {-1.5 * text, 0}, {drawn_length(bank) + 1.5 * text, 0});
    add_slot_outline(view, slot);
    for (const auto& piece : slot.pieces) {
        add_widths(view, piece);
    }
    const double above = std::max(half + 2.2 * text, top_of_widths(view) + 1.2 * text);
    double before = 0;
    for (const auto& piece : slot.pieces) {
        const double start = in_mm(piece.x);
        const double end = in_mm(piece.x + piece.length);
        const double from = in_mm(piece.width.at(piece.x)) / 2;
        const double to = in_mm(piece.width.at(piece.x + piece.length)) / 2;
        if (start > before) {
            view.dimensions.push_back(
                {Measure::along_x, {before, 0.5 * half}, {start, from}, above});
        }
        view.dimensions.push_back({Measure::along_x, {start, from}, {end, to}, above});
        before = end;
    }
    add_hole_sizes(view, slot.holes, half + 2.2 * text);
    double bottom = -half - 0.2 * text;
    if (!slot.holes.empty()) {
        std::vector<double> centres{0};
        for (const auto& hole : slot.holes) {
            centres.push_back(in_mm(hole.x));
        }
        add_chain(view, centres, bottom, bottom - 2.2 * text);
        bottom -= 2.8 * text;
    }
    add_ordinates(view, slot, bottom);
    return view;
}

void add_slot_outline(View& view, const geometry::Slot& slot) {
    for (const auto& piece : slot.pieces) {
        add_outline(view, piece);
    }
    for (const auto& hole : slot.holes) {
        add_hole(view, hole);
    }
}

}  // namespace plenair::drawing

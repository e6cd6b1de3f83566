#include <algorithm>
#include <cmath>
#include <numbers>

#include "cases/report/drawing/drawing.hpp"
#include "geometry/quantity.hpp"
#include "geometry/slot_holes.hpp"

/// The edges of the slot as the shop leaves them, seen from the pre-chamber.
namespace plenair::drawing {

std::vector<StatedWidth> stated_widths(const geometry::SlotPiece& piece) {
    const double end = piece.x + piece.length;
    std::vector<StatedWidth> list{{in_mm(piece.x), in_mm(piece.width.at(piece.x))}};
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

namespace {

/// One corner of an outline: from the end of the slot to its side, or back.
struct Corner {
    double x = 0, half = 0;  ///< where its arc meets the side [mm]
    double radius = 0;  ///< [mm]
};

/// Corner at an end: the half width changes by `slope` a mm towards the middle.
Corner corner_at(double x,
                 double half,
                 double slope,
                 double inward,
                 double most,
                 const geometry::SlotShop& shop) {
    const double drawn = in_mm(shop.corner(geometry::from_unit(half, "mm")));
    // A full radius meets the sides where they are as far apart as it is wide.
    const bool full = shop.ends == geometry::SlotEnds::full_radius;
    const double radius = std::min(full ? half / (1 - slope) : drawn, most);
    return {x + inward * radius, half + slope * radius, radius};
}

/// The outline with its corners, clockwise from the lower side of the start; an arc bends to the
/// right of its chord.
Polyline rounded(const std::vector<StatedWidth>& list, const geometry::SlotShop& shop) {
    const double bend = -std::tan(std::numbers::pi / 8);  // a quarter of a circle
    const auto slope = [](const StatedWidth& end, const StatedWidth& next) {
        return 0.5 * (next.width - end.width) / std::abs(next.x - end.x);
    };
    const StatedWidth &first = list.front(), &last = list.back();
    const double most = 0.5 * (last.x - first.x);
    const Corner start = corner_at(first.x, first.width / 2, slope(first, list[1]), 1, most, shop);
    const Corner end =
        corner_at(last.x, last.width / 2, slope(last, list[list.size() - 2]), -1, most, shop);
    std::vector<StatedWidth> sides{{start.x, 2 * start.half}};
    for (const auto& station : list) {
        if (station.x > start.x + 1e-9 && station.x < end.x - 1e-9) {
            sides.push_back(station);
        }
    }
    sides.push_back({end.x, 2 * end.half});

    Polyline outline{Layer::slot, {}, true};
    const auto add = [&outline](double x, double y, double bulge) {
        outline.points.push_back({x, y});
        outline.bulges.push_back(bulge);
    };
    const auto add_end = [&](double x, const Corner& corner, double sign) {
        // Across the end, from one side to the other; in the middle where the arcs meet.
        const double straight = corner.half - corner.radius;
        if (straight > 1e-9) {
            add(x, sign * straight, 0);
        }
        add(x, -sign * std::max(straight, 0.0), corner.radius > 0 ? bend : 0);
    };
    for (std::size_t i = 0; i < sides.size(); ++i) {
        const bool turns = i + 1 == sides.size() && end.radius > 0;
        add(sides[i].x, sides[i].width / 2, turns ? bend : 0);
    }
    if (end.radius > 0) {
        add_end(last.x, end, 1);
    }
    for (std::size_t i = sides.size(); i-- > 0;) {
        const bool turns = i == 0 && start.radius > 0;
        add(sides[i].x, -sides[i].width / 2, turns ? bend : 0);
    }
    if (start.radius > 0) {
        add_end(first.x, start, -1);
    }
    return outline;
}

void add_outline(View& view, const geometry::SlotPiece& piece, const geometry::SlotShop& shop) {
    auto list = stated_widths(piece);
    if (list.size() == 1) {
        list.push_back({in_mm(piece.x + piece.length), list.front().width});
    }
    Polyline outline = rounded(list, shop);
    if (shop.ends == geometry::SlotEnds::square) {
        outline.bulges.clear();
    }
    view.polylines.push_back(std::move(outline));
}

void add_hole(View& view, const geometry::SlotHole& hole, const geometry::SlotShop& shop) {
    const double x = in_mm(hole.x);
    const double half = in_mm(hole.length) / 2;
    if (geometry::is_round(hole)) {
        view.arcs.push_back({Layer::slot, {x, 0}, half});
    } else {
        const double width = in_mm(geometry::hole_width(hole));
        Polyline outline = rounded({{x - half, width}, {x + half, width}}, shop);
        if (shop.ends == geometry::SlotEnds::square) {
            outline.bulges.clear();
        }
        view.polylines.push_back(std::move(outline));
    }
    view.line(Layer::centre, {x, -half - view.text}, {x, half + view.text});
}

}  // namespace

void add_slot_outline(View& view, const geometry::Slot& slot, const geometry::SlotShop& shop) {
    for (const auto& piece : slot.pieces) {
        add_outline(view, piece, shop);
    }
    for (const auto& hole : slot.holes) {
        add_hole(view, hole, shop);
    }
}

geometry::Slot in_order(geometry::Slot slot) {
    std::sort(slot.pieces.begin(), slot.pieces.end(), [](const auto& a, const auto& b) {
        return a.x < b.x;
    });
    return slot;
}

}  // namespace plenair::drawing

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "cases/report/drawing/drawing.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/study/machining.hpp"
#include "geometry/quantity.hpp"
#include "geometry/slot_holes.hpp"

/// The slot as seen from the pre-chamber, square to its wall, and its section.
namespace plenair::drawing {

namespace {

/// Width dimensions stand upright through the slot; one at the start of a constant piece is moved
/// inside, where its lines do not meet the end.
/// @param wall  top of the wall, which is drawn as a line [mm]
/// @param end  far end of the wall, a line as well [mm]
void add_widths(View& view,
                const geometry::SlotPiece& piece,
                double wall,
                double end,
                const std::string& tolerance) {
    const auto add = [&](double x, double half, double line) {
        Dimension width{Measure::along_y, {x, -half}, {x, half}, line, tolerance};
        width.aside = true;
        width.above = wall;
        view.dimensions.push_back(width);
    };
    const auto list = stated_widths(piece);
    if (list.size() == 1) {
        const double x = list.front().x + std::min(0.12 * in_mm(piece.length), 6 * view.text);
        const double half = list.front().width / 2;
        add(x, half, x);
        return;
    }
    for (const auto& station : list) {
        const double half = station.width / 2;
        double line = station.x;
        if (station.x > list.front().x && &station == &list.back()) {
            // Behind the far end there is no number of a station.
            line += 1.6 * view.text;
            line = std::abs(line - end) < view.text ? end + 1.4 * view.text : line;
        }
        add(station.x, half, line);
    }
}

void add_hole_sizes(View& view,
                    const std::vector<geometry::SlotHole>& holes,
                    double top,
                    const std::string& tolerance,
                    const std::string& length_tolerance) {
    for (std::size_t i = 0; i < holes.size(); ++i) {
        const auto& hole = holes[i];
        const bool repeated = i > 0 && std::abs(hole.length - holes[i - 1].length) < 1e-9 &&
                              std::abs(hole.area - holes[i - 1].area) < 1e-12;
        if (repeated) {
            continue;
        }
        const double x = in_mm(hole.x);
        const double half = in_mm(hole.length) / 2;
        const double up = in_mm(geometry::hole_width(hole)) / 2;
        view.dimensions.push_back({Measure::along_x,
                                   {x - half, geometry::is_round(hole) ? 0 : up},
                                   {x + half, geometry::is_round(hole) ? 0 : up},
                                   top,
                                   geometry::is_round(hole) ? tolerance : length_tolerance,
                                   geometry::is_round(hole)});
        if (!geometry::is_round(hole)) {
            view.dimensions.push_back({Measure::along_y,
                                       {x + half, -up},
                                       {x + half, up},
                                       x + half + 0.8 * view.text,
                                       tolerance});
        }
    }
}

/// Running dimensions from the wall x = 0 of every end, station and hole centre.
void add_ordinates(View& view, const geometry::Slot& slot, double bottom) {
    std::vector<double> x;
    for (const auto& piece : slot.pieces) {
        for (const auto& station : stated_widths(piece)) {
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
double top_of_widths(const View& view, const geometry::OutputUnits& units) {
    double top = 0;
    for (auto dimension : view.dimensions) {
        dimension.units = units;  // numbers of inches are longer
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
        half = std::max(half, in_mm(geometry::hole_width(hole)) / 2);
    }
    return half;
}

}  // namespace

std::string tolerance_text(double value, const geometry::OutputUnits& units) {
    return " \u00b1" + drawn_size(in_mm(value), units);
}

std::string outlet_text(const geometry::Slot& slot, const geometry::OutputUnits& units) {
    return outlet_is_cut(slot) ? tolerance_text(slot.limits.edge_radius, units) : " max";
}

void add_stations(View& view, const std::vector<double>& x, double half) {
    const auto at = spread_apart(x, 1.5 * view.text);
    for (std::size_t i = 0; i < x.size(); ++i) {
        view.polylines.push_back({Layer::centre,
                                  {{x[i], -half - 0.8 * view.text},
                                   {x[i], half + 0.8 * view.text},
                                   {at[i], half + 1.8 * view.text}}});
        view.note({at[i], half + 2.1 * view.text}, std::to_string(i + 1), Align::centre);
    }
}

namespace {

/// The wall that carries the slot, as seen from the pre-chamber; half its drawn height.
double add_wall(View& view, const geometry::Bank& bank, double middle, double half) {
    const auto& room = bank.pre_chamber ? bank.pre_chamber : bank.plenum;
    if (!room) {
        return half;
    }
    const double wall =
        std::max(room->height ? in_mm(*room->height) / 2 : drawn_depth(*room, 0) / 2,
                 half + std::abs(middle));
    const double length = in_mm(room->length);
    view.polylines.push_back(
        {Layer::outline,
         {{0, middle - wall}, {length, middle - wall}, {length, middle + wall}, {0, middle + wall}},
         true});
    return wall;
}

/// Start and length of each piece on one line above.
void add_lengths(View& view,
                 const geometry::Slot& slot,
                 double half,
                 double above,
                 const std::string& tolerance) {
    double before = 0;
    for (const auto& piece : slot.pieces) {
        const double start = in_mm(piece.x);
        const double end = in_mm(piece.x + piece.length);
        const double from = in_mm(piece.width.at(piece.x)) / 2;
        const double to = in_mm(piece.width.at(piece.x + piece.length)) / 2;
        if (start > before) {
            view.dimensions.push_back(
                {Measure::along_x, {before, 0.5 * half}, {start, from}, above, tolerance});
        }
        view.dimensions.push_back({Measure::along_x, {start, from}, {end, to}, above, tolerance});
        before = end;
    }
}

/// The slot's centre line across the wall: from its lower side face, or from the datum C in its
/// middle where the case states no height.
void add_place_across(View& view,
                      const geometry::Bank& bank,
                      double middle,
                      double wall,
                      const std::string& tolerance) {
    const auto& room = bank.pre_chamber ? bank.pre_chamber : bank.plenum;
    if (!room) {
        return;
    }
    const double x = in_mm(room->length);
    if (std::abs(middle) > 1e-6) {
        view.line(Layer::centre, {-1.5 * view.text, middle}, {x + 1.5 * view.text, middle});
    }
    if (room->height) {
        view.dimensions.push_back({Measure::along_y,
                                   {x, middle - wall},
                                   {x + 1.5 * view.text, 0},
                                   x + 3.4 * view.text,
                                   tolerance});
    } else if (std::abs(middle) > 1e-6) {
        view.dimensions.push_back({Measure::along_y,
                                   {x + 1.5 * view.text, std::min(middle, 0.0)},
                                   {x + 1.5 * view.text, std::max(middle, 0.0)},
                                   x + 3.4 * view.text,
                                   tolerance});
    }
}

std::vector<double> station_places(const geometry::Slot& slot, const geometry::OutputUnits& units) {
    std::vector<double> x;
    for (const auto& station : machining_stations(slot, units)) {
        x.push_back(in_mm(station.x));
    }
    return x;
}

}  // namespace

View slot_view(const geometry::Bank& bank,
               const geometry::SlotShop& shop,
               double text,
               const geometry::OutputUnits& units) {
    const auto slot = in_order(*bank.slot);
    View view{slot.pieces.empty() ? "Row of holes, seen from the pre-chamber (side A)"
                                  : "Slot, seen from the pre-chamber (side A)",
              text};
    view.in_line = true;
    const std::string of_width = tolerance_text(slot.limits.width, units);
    const std::string of_length = tolerance_text(slot.limits.length, units);
    const double middle = -in_mm(shop.offset);  // of the wall; the slot's centre line is y = 0
    const double opening = largest_half_width(slot);
    const double wall = add_wall(view, bank, middle, opening);
    const double top = std::max(wall + middle, opening);
    view.line(Layer::centre, {-1.5 * text, 0}, {drawn_length(bank) + 1.5 * text, 0});
    add_slot_outline(view, slot, shop);
    add_stations(view, station_places(slot, units), opening);
    for (const auto& piece : slot.pieces) {
        add_widths(view, piece, wall + middle, drawn_length(bank), of_width);
    }
    const double above =
        std::max({top + 2.2 * text, top_of_widths(view, units) + 1.2 * text, opening + 4.6 * text});
    add_lengths(view, slot, wall, above, of_length);
    add_hole_sizes(view, slot.holes, above, of_width, of_length);
    add_place_across(view, bank, middle, wall, of_length);
    add_datum(view, {0, 0.5 * (top + opening)}, {-2.4, 0}, "B");
    add_datum(view, {-1.5 * text, middle}, {-2.4, 0}, "C");
    double bottom = std::min(middle - wall, -opening) - 0.2 * text;
    if (!slot.holes.empty()) {
        std::vector<double> centres{0};
        for (const auto& hole : slot.holes) {
            centres.push_back(in_mm(hole.x));
        }
        add_chain(view, centres, bottom, bottom - 2.2 * text, units);
        bottom -= 2.8 * text;
    }
    add_ordinates(view, slot, bottom);
    return view;
}

}  // namespace plenair::drawing

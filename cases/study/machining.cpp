#include "cases/study/machining.hpp"

#include "cases/study/case.hpp"
#include "cases/study/derived.hpp"
#include "geometry/error.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"
#include "geometry/slot_holes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>

namespace plenair {

namespace {

/// What a shop sets and buys: pin gauges come in hundredths of a mm or thousandths of an inch, a
/// rule is set to a tenth of a mm or a hundredth of an inch [m].
struct ShopSteps {
    double gauge = 1e-5, rule = 1e-4, width = 5e-5, radius = 1e-4, edge_break = 5e-4;
};

ShopSteps shop_steps(const geometry::OutputUnits& units) {
    if (!units.inches()) {
        return {};
    }
    const auto inch = [](double value) { return geometry::from_unit(value, "in"); };
    return {inch(0.001), inch(0.01), inch(0.002), inch(0.005), inch(0.020)};
}

constexpr double rounding = 1e-9;  ///< of decimal lengths [m]

using WidthChange = std::function<double(double x)>;

geometry::Profile changed(const geometry::SlotPiece& piece, const WidthChange& change) {
    const double end = piece.x + piece.length;
    std::vector<double> x{piece.x};
    for (const double station : piece.width.x()) {
        if (station > piece.x && station < end) {
            x.push_back(station);
        }
    }
    x.push_back(end);
    std::vector<double> width;
    for (const double station : x) {
        width.push_back(std::max(piece.width.at(station) + change(station), 0.0));
    }
    return geometry::Profile::stations(x, width);
}

double flow_change(const geometry::Slot& slot,
                   Model model,
                   const WidthChange& width,
                   double radius) {
    geometry::Slot drawn = slot;
    drawn.cd.reset();
    model.slot_edge = SlotEdge::correlation;
    geometry::Slot made = drawn;
    made.edge_radius = std::max(slot.edge_radius + radius, 0.0);
    for (auto& piece : made.pieces) {
        piece.width = changed(piece, width);
    }
    for (auto& hole : made.holes) {
        hole = geometry::widened(hole, width(hole.x));
    }
    return study::slot_effective_area(made, model) / study::slot_effective_area(drawn, model) - 1;
}

FlowChange both_ways(const std::function<double(double)>& change, double step) {
    return {change(step), change(-step)};
}

SizeLimits limits(double nominal, double tolerance) {
    return {nominal, std::max(nominal - tolerance, 0.0), nominal + tolerance};
}

MachiningStation station(
    int number, std::size_t piece, double x, const SizeLimits& width, double gauge_step) {
    const double go = std::ceil((width.low - rounding) / gauge_step) * gauge_step;
    const double no_go = std::floor((width.high + rounding) / gauge_step) * gauge_step;
    if (go > no_go) {
        // No pin of this step between the limits: a finer set is needed.
        return station(number, piece, x, width, 0.1 * gauge_step);
    }
    return {number, piece, x, width, go, no_go};
}

/// Nine stations share the pieces by length, each piece has one at least. The first and the last of
/// a piece keep off its ends, where the cutter turns.
std::vector<MachiningStation> piece_stations(const geometry::Slot& slot, const ShopSteps& steps) {
    double length = 0;
    for (const auto& piece : slot.pieces) {
        length += piece.length;
    }
    std::vector<MachiningStation> list;
    double before = 0;
    const auto pieces = slot.pieces.size();
    for (std::size_t i = 0; i < pieces; ++i) {
        const auto& piece = slot.pieces[i];
        const int wanted =
            static_cast<int>(std::lround(slot_stations * (before + piece.length) / length));
        const int left = static_cast<int>(pieces - i) - 1;
        const int given = static_cast<int>(list.size());
        const int count = std::max(std::min(wanted, slot_stations - left) - given, 1);
        before += piece.length;
        const double keep_off = std::min(piece.width.largest(), 0.1 * piece.length);
        for (int k = 0; k < count; ++k) {
            const double share = count > 1 ? static_cast<double>(k) / (count - 1) : 0.5;
            const double x = piece.x + keep_off + share * (piece.length - 2 * keep_off);
            const double set = std::round(x / steps.rule) * steps.rule;
            list.push_back(station(static_cast<int>(list.size()) + 1,
                                   i,
                                   set,
                                   limits(piece.width.at(set), slot.limits.width),
                                   steps.gauge));
        }
    }
    return list;
}

std::vector<MachiningStation> hole_stations(const geometry::Slot& slot, const ShopSteps& steps) {
    std::vector<MachiningStation> list;
    for (std::size_t i = 0; i < slot.holes.size(); ++i) {
        const auto& hole = slot.holes[i];
        const double width = geometry::hole_width(hole);
        list.push_back(station(
            static_cast<int>(i) + 1, i, hole.x, limits(width, slot.limits.width), steps.gauge));
    }
    return list;
}

void add_costs(MachiningSheet& sheet, const Model& model) {
    const auto& slot = sheet.slot;
    const auto width = [&](double change) { return slot_flow_change(slot, model, change, 0); };
    const auto radius = [&](double change) { return slot_flow_change(slot, model, 0, change); };
    sheet.of_width_step = both_ways(width, sheet.width_step);
    sheet.of_radius_step = both_ways(radius, sheet.radius_step);
    sheet.of_width_limit = both_ways(width, slot.limits.width);
    sheet.of_radius_limit = both_ways(radius, slot.limits.edge_radius);
    sheet.of_sharp_edge = radius(-slot.edge_radius);
    geometry::Slot sharp = slot;
    sharp.edge_radius = 0;
    sheet.of_broken_edge = slot_flow_change(sharp, model, 0, sheet.break_step);
    if (slot.pieces.empty()) {
        return;
    }
    const double start = slot.pieces.front().x;
    const double end = slot.pieces.back().x + slot.pieces.back().length;
    const double taper = slot.limits.taper;
    sheet.of_taper_total = flow_change(
        slot, model, [=](double x) { return taper * ((x - start) / (end - start) - 0.5); }, 0);
    const double wide = 1 + width(taper / 2);
    const double narrow = 1 + width(-taper / 2);
    sheet.of_taper_ends = wide / narrow - 1;
}

/// What the sheet cannot be printed without; one message for each entry that is missing.
void refuse_incomplete(const geometry::Slot& slot,
                       const std::string& prefix,
                       const std::string& path,
                       const geometry::OutputUnits& units,
                       std::vector<std::string>& messages) {
    if (!slot.edge_stated) {
        messages.push_back(fmt::format(
            "{}: {}slot.edge_radius: missing; no machining sheet without an edge specification: "
            "the edge radius decides 8 % of flow; write edge_radius = \"{}\", or \"{}\" for "
            "a sharp edge",
            path,
            prefix,
            units.inches() ? "0.080 in" : "2.0 mm",
            units.inches() ? "0 in" : "0 mm"));
    }
    if (!(slot.land > 0)) {
        messages.push_back(fmt::format(
            "{}: {}slot.land: missing; a machining sheet needs the wall thickness; write land = "
            "\"{}\"",
            path,
            prefix,
            units.inches() ? "0.312 in" : "8.0 mm"));
    }
}

}  // namespace

double slot_flow_change(const geometry::Slot& slot,
                        const Model& model,
                        double width,
                        double radius) {
    return flow_change(
        slot, model, [width](double) { return width; }, radius);
}

double end_loss(const geometry::Slot& slot, const geometry::SlotShop& shop) {
    double lost = 0;
    const auto corners = [&lost](double count, double radius) {
        lost += count * (1 - std::numbers::pi / 4) * radius * radius;
    };
    for (const auto& piece : slot.pieces) {
        corners(2, shop.corner(0.5 * piece.width.at(piece.x)));
        corners(2, shop.corner(0.5 * piece.width.at(piece.x + piece.length)));
    }
    for (const auto& hole : slot.holes) {
        const double width = geometry::is_round(hole) ? 0 : geometry::hole_width(hole);
        corners(4, shop.corner(0.5 * std::min(hole.length, std::max(width, 0.0))));
    }
    return slot.area() > 0 ? lost / slot.area() : 0;
}

double outlet_break(const geometry::Slot& slot, const geometry::OutputUnits& units) {
    if (slot.outlet_edge > 0) {
        return slot.outlet_edge;
    }
    return units.inches() ? geometry::from_unit(0.008, "in") : 2e-4;
}

bool outlet_is_cut(const geometry::Slot& slot) {
    constexpr double largest_break = 5e-4;
    return slot.outlet_edge > largest_break + rounding;
}

std::vector<MachiningStation> machining_stations(const geometry::Slot& slot,
                                                 const geometry::OutputUnits& units) {
    const ShopSteps steps = shop_steps(units);
    return slot.pieces.empty() ? hole_stations(slot, steps) : piece_stations(slot, steps);
}

std::vector<MachiningSheet> machining_sheets(const Case& c,
                                             const std::vector<geometry::SlotShop>& shops) {
    std::vector<MachiningSheet> sheets;
    std::vector<std::string> messages;
    for (std::size_t i = 0; i < c.intake.banks.size(); ++i) {
        const auto& bank = c.intake.banks[i];
        if (!bank.slot) {
            continue;
        }
        refuse_incomplete(
            *bank.slot, geometry::entry_prefix(c.intake, i), c.path, c.units, messages);
        if (!messages.empty()) {
            continue;
        }
        MachiningSheet sheet;
        sheet.title = c.title;
        sheet.case_digest = c.digest;
        sheet.units = c.units;
        const ShopSteps steps = shop_steps(c.units);
        sheet.width_step = steps.width;
        sheet.radius_step = steps.radius;
        sheet.break_step = steps.edge_break;
        sheet.bank = geometry::bank_name(c.intake, i);
        sheet.slot = *bank.slot;
        std::sort(sheet.slot.pieces.begin(),
                  sheet.slot.pieces.end(),
                  [](const auto& a, const auto& b) { return a.x < b.x; });
        const auto& room = bank.pre_chamber ? bank.pre_chamber : bank.plenum;
        sheet.wall_length = room ? room->length : 0;
        if (room) {
            sheet.wall_height = room->height;
        }
        if (i < shops.size()) {
            sheet.shop = shops[i];
        } else if (sheet.slot.pieces.empty()) {
            sheet.shop.ends = geometry::SlotEnds::square;
        }
        sheet.stations = machining_stations(sheet.slot, c.units);
        const auto& allowed = sheet.slot.limits;
        sheet.land = limits(sheet.slot.land, allowed.land);
        sheet.inlet_radius = limits(sheet.slot.edge_radius, allowed.edge_radius);
        sheet.gauges = radius_gauges(sheet.inlet_radius.low,
                                     sheet.inlet_radius.nominal,
                                     sheet.inlet_radius.high,
                                     c.units.inches());
        sheet.of_ends = -end_loss(sheet.slot, sheet.shop);
        sheet.outlet_break = outlet_break(sheet.slot, c.units);
        sheet.outlet_radius = limits(sheet.slot.outlet_edge, allowed.edge_radius);
        add_costs(sheet, c.model);
        sheets.push_back(std::move(sheet));
    }
    if (!messages.empty()) {
        throw InputError(messages);
    }
    if (sheets.empty()) {
        throw InputError({fmt::format(
            "{}: no slot in this case, so no machining sheet; add [slot] or draw without --sheet",
            c.path)});
    }
    return sheets;
}

}  // namespace plenair

#include "geometry/contract.hpp"
#include "solver/network/fixed_numbers.hpp"
#include "solver/network/network_builder.hpp"

#include "solver/arithmetic/real.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace plenair {

namespace {

constexpr double pi = std::numbers::pi;

}  // namespace

int NetworkBuilder::add_discharge(const geometry::Slot& slot,
                                  double dh,
                                  double edge,
                                  laws::ThinLimit limit) {
    const Model& model = n_.model;
    if (slot.cd) {
        n_.discharges.push_back(laws::SlotDischarge::measured(*slot.cd, false));
    } else if (model.slot_edge == SlotEdge::sharp_exact) {
        n_.discharges.push_back(
            laws::SlotDischarge::sharp_exact(n_.gas.gamma, model.slot_compressibility));
    } else {
        n_.discharges.push_back(laws::SlotDischarge::correlation(
            slot.land / dh, edge / dh, reference_reynolds, limit, model.slot_compressibility));
    }
    return static_cast<int>(n_.discharges.size()) - 1;
}

void NetworkBuilder::add_slot_cells(const geometry::Slot& slot,
                                    const geometry::SlotPiece& piece,
                                    int pre,
                                    int plenum) {
    // Stations where a cell of either chamber or the piece itself begins or ends.
    std::vector<double> cuts{piece.x, piece.x + piece.length};
    for (const int index : {pre, plenum}) {
        if (index < 0) {
            continue;
        }
        const Chain& chain = n_.chains[static_cast<std::size_t>(index)];
        for (int i = 1; i < chain.count; ++i) {
            const double x = i * chain.dx;
            if (x > piece.x + 1e-9 && x < piece.x + piece.length - 1e-9) {
                cuts.push_back(x);
            }
        }
    }
    if (pre < 0 && plenum < 0) {
        for (int i = 1; i < header_cells; ++i) {
            cuts.push_back(piece.x + piece.length * i / header_cells);
        }
    }
    std::sort(cuts.begin(), cuts.end());
    double last_width = -1.0;
    for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
        const double from = cuts[i];
        const double to = cuts[i + 1];
        if (to - from < 1e-9) {
            continue;
        }
        const double width = piece.width.mean(from, to);
        PLENAIR_EXPECT(width > 0.0);
        const double dh = 2.0 * width;
        Passage p;
        p.slot = true;
        p.from = footprint(pre, from, to);
        p.to = footprint(plenum, from, to);
        p.from_room = n_.source;
        p.to_room = n_.room;
        p.area = width * (to - from);
        p.x = 0.5 * (from + to);
        p.length = to - from;
        p.hydraulic_diameter = dh;
        // Slit between two chambers: land and, on each side, (w/pi)(1 + ln(2H/(pi w))) with the
        // chamber's diameter H (two-dimensional end correction, Morse and Ingard 1968, from
        // memory).
        // theory T20
        double length = slot.land;
        for (const int index : {pre, plenum}) {
            const double height =
                index < 0 ? 10.0 * width : equal_diameter(footprint(index, from, to).area);
            length +=
                width / pi * (1.0 + arithmetic::log(std::max(2.0 * height / (pi * width), 1.0)));
        }
        p.inertance = length / p.area;
        if (std::abs(width - last_width) > 1e-12) {
            add_discharge(slot, dh, slot.edge_radius, laws::ThinLimit::slit);
            add_discharge(slot, dh, slot.outlet_edge, laws::ThinLimit::slit);
            last_width = width;
        }
        p.discharge = static_cast<int>(n_.discharges.size()) - 2;
        p.discharge_reverse = p.discharge + 1;
        n_.passages.push_back(p);
    }
}

void NetworkBuilder::add_slot(const geometry::Bank& bank, int pre, int plenum) {
    const geometry::Slot& slot = *bank.slot;
    for (const auto& piece : slot.pieces) {
        add_slot_cells(slot, piece, pre, plenum);
    }
    for (const auto& hole : slot.holes) {
        PLENAIR_EXPECT(hole.area > 0.0 && hole.hydraulic_diameter > 0.0);
        Passage p;
        p.slot = true;
        p.upstream_static = true;
        p.from = hole_footprint(pre, hole.x, hole.length);
        p.to = hole_footprint(plenum, hole.x, hole.length);
        p.from_room = n_.source;
        p.to_room = n_.room;
        p.area = hole.area;
        p.x = hole.x;
        p.length = hole.length;
        p.hydraulic_diameter = hole.hydraulic_diameter;
        p.inertance =
            (slot.land + 2.0 * end_correction * 0.5 * equal_diameter(hole.area)) / hole.area;
        p.discharge = add_discharge(
            slot, hole.hydraulic_diameter, slot.edge_radius, laws::ThinLimit::round_hole);
        p.discharge_reverse = add_discharge(
            slot, hole.hydraulic_diameter, slot.outlet_edge, laws::ThinLimit::round_hole);
        n_.passages.push_back(p);
    }
}

}  // namespace plenair

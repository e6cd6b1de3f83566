#include "solver/network/network_complete.hpp"

#if defined(PLENAIR_CONTRACTS)

#include "geometry/contract.hpp"
#include "solver/network/cell_loops.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace plenair {

namespace {

/// Whether an index is one of a list.
template <class Item>
bool within(int i, const std::vector<Item>& list) {
    return i >= 0 && static_cast<std::size_t>(i) < list.size();
}

bool all_positive(const std::vector<double>& values, int first, int count) {
    const auto begin = values.begin() + first;
    return std::all_of(begin, begin + count, [](double v) { return v > 0.0; });
}

void expect_cells(const Network& n) {
    const auto cells = static_cast<std::size_t>(n.layout.cells);
    // Loops over cells read whole packs.
    const auto padded = cells + static_cast<std::size_t>(widest_pack);
    PLENAIR_EXPECT(n.inverse_volume.size() == cells && n.area.size() == cells);
    PLENAIR_EXPECT(n.face_area.size() == cells + 1);
    PLENAIR_EXPECT(n.volume.size() == padded && n.inverse_diameter.size() == padded);
    PLENAIR_EXPECT(n.bend.size() == padded && n.wall_rt.size() == padded);
    constexpr int ghosts = 2;
    for (const Chain& chain : n.chains) {
        PLENAIR_EXPECT(chain.first >= ghosts && chain.count > 0 && chain.dx > 0.0);
        PLENAIR_EXPECT(chain.first + chain.count + ghosts <= n.layout.cells);
        PLENAIR_EXPECT(within(chain.bank, n.banks));
        PLENAIR_EXPECT(chain.friction == -1 || within(chain.friction, n.frictions));
        PLENAIR_EXPECT(all_positive(n.volume, chain.first, chain.count));
        PLENAIR_EXPECT(all_positive(n.inverse_volume, chain.first, chain.count));
        PLENAIR_EXPECT(all_positive(n.area, chain.first - ghosts, chain.count + 2 * ghosts));
        PLENAIR_EXPECT(all_positive(n.face_area, chain.first, chain.count + 1));
        PLENAIR_EXPECT(chain.start_effective_area >= 0.0 && chain.end_effective_area >= 0.0);
        PLENAIR_EXPECT(!chain.jet || n.layout.jets == n.layout.cells);
    }
}

/// Cells of one chain whose weights sum to one, or a room.
void expect_footprint(const Network& n, const Footprint& f) {
    if (f.weight.empty()) {
        return;
    }
    const int last = f.first + static_cast<int>(f.weight.size());
    PLENAIR_EXPECT(std::any_of(n.chains.begin(), n.chains.end(), [&](const Chain& chain) {
        return f.first >= chain.first && last <= chain.first + chain.count;
    }));
    const double sum = std::accumulate(f.weight.begin(), f.weight.end(), 0.0);
    PLENAIR_EXPECT(std::abs(sum - 1.0) < 1e-9 && f.area > 0.0);
}

void expect_openings(const Network& n) {
    for (const Passage& p : n.passages) {
        expect_footprint(n, p.from);
        expect_footprint(n, p.to);
        PLENAIR_EXPECT(p.area > 0.0 && p.inertance > 0.0 && p.hydraulic_diameter > 0.0);
        PLENAIR_EXPECT(within(p.discharge, n.discharges) &&
                       within(p.discharge_reverse, n.discharges));
    }
    for (const Mouth& mouth : n.mouths) {
        PLENAIR_EXPECT(within(mouth.chain, n.chains) && !mouth.plenum.weight.empty());
        PLENAIR_EXPECT(mouth.area > 0.0 && mouth.area_ratio > 0.0);
        expect_footprint(n, mouth.plenum);
    }
    for (const ThrottlePlace& place : n.throttles) {
        PLENAIR_EXPECT(within(place.bank, n.banks) && !place.throttles.empty());
        PLENAIR_EXPECT(place.passage == -1 ? within(place.chain, n.chains)
                                           : within(place.passage, n.passages));
    }
    for (const ValveEnd& valve : n.valves) {
        PLENAIR_EXPECT(valve.cylinder >= 0 && valve.cylinder < n.layout.cylinders);
        PLENAIR_EXPECT(within(valve.chain, n.chains));
        const Chain& chain = n.chains[static_cast<std::size_t>(valve.chain)];
        PLENAIR_EXPECT(chain.end == EndKind::valve && chain.cylinder == valve.cylinder);
    }
}

void expect_gas(const Network& n) {
    PLENAIR_EXPECT(n.gas.gamma > 1.0 && n.gas.gas_constant > 0.0 && n.gas.viscosity > 0.0);
    PLENAIR_EXPECT(n.source.pressure > 0.0 && n.source.rt > 0.0);
    PLENAIR_EXPECT(n.room.pressure > 0.0 && n.room.rt > 0.0);
    PLENAIR_EXPECT(n.orifice.gamma == n.gas.gamma && n.duct.choked_flow > 0.0);
}

void expect_crank(const Network& n) {
    const CrankTable& crank = n.crank;
    PLENAIR_EXPECT(crank.cylinders == n.layout.cylinders);
    // All rows of a cycle, or those of its start alone.
    PLENAIR_EXPECT(crank.nodes == 2 * static_cast<int>(crank.step.size()) + 1 || crank.nodes == 2);
    PLENAIR_EXPECT(all_positive(crank.step, 0, static_cast<int>(crank.step.size())));
    const auto rows = static_cast<std::size_t>(crank.nodes * crank.cylinders);
    for (const auto member : CrankTable::members()) {
        const bool may_lack = member == &CrankTable::exhaust_pressure && !n.cylinder.exhaust_varies;
        PLENAIR_EXPECT((crank.*member).size() == rows || (may_lack && (crank.*member).empty()));
    }
}

void expect_cylinders(const Network& n) {
    PLENAIR_EXPECT(n.cylinder.displacement > 0.0 && n.cylinder.exhaust_delay >= 0.0);
    PLENAIR_EXPECT(n.exhaust.pressure > 0.0 && n.exhaust.rt > 0.0 && n.exhaust_orifice.gamma > 1.0);
}

}  // namespace

void expect_complete(const Network& n) {
    PLENAIR_EXPECT(static_cast<std::size_t>(n.layout.passages) == n.passages.size());
    PLENAIR_EXPECT(static_cast<std::size_t>(n.layout.valves) == n.valves.size());
    expect_cells(n);
    expect_openings(n);
    expect_gas(n);
    if (n.has_engine()) {
        expect_cylinders(n);
    }
    if (n.crank.nodes > 0) {
        expect_crank(n);
    }
}

}  // namespace plenair

#endif

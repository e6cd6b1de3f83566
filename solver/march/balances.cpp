#include "solver/march/balances.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace plenair {

double nominal_charge(const Network& n) {
    return n.source.pressure / n.source.rt * n.cylinder.displacement * n.layout.cylinders;
}

CycleFlows balance(const Network& n,
                   const Stored& before,
                   const std::vector<double>& state,
                   PointResult& result) {
    const Layout& at = n.layout;
    const auto total = [&](Layout::Total which) {
        return state[static_cast<std::size_t>(at.total(which))];
    };
    const Stored after = stored(n, state);
    const double in = std::max(std::abs(total(Layout::source_mass)), 1e-12);
    result.mass_balance = std::abs(total(Layout::source_mass) - total(Layout::exhaust_mass) -
                                   (after.mass - before.mass)) /
                          in;
    const double energy_in =
        std::abs(total(Layout::source_energy)) + std::abs(total(Layout::released_heat));
    result.energy_balance = std::abs(total(Layout::source_energy) + total(Layout::released_heat) +
                                     total(Layout::wall_heat) - total(Layout::exhaust_energy) -
                                     total(Layout::cylinder_heat) - total(Layout::work) -
                                     (after.energy - before.energy)) /
                            energy_in;
    result.fresh_air_balance = std::abs(total(Layout::source_fresh) - total(Layout::exhaust_fresh) -
                                        total(Layout::burned_air) - (after.fresh - before.fresh)) /
                               in;
    const auto delivered = [&](int first) {
        const auto begin = state.begin() + first;
        return std::accumulate(begin, begin + at.valves, 0.0);
    };
    result.flow_balance =
        std::abs(delivered(at.delivered_mass()) - total(Layout::source_mass)) / in;
    CycleFlows flows;
    flows.fresh_difference =
        std::abs(delivered(at.delivered_fresh()) - total(Layout::source_fresh)) / in;
    flows.drawn = total(Layout::source_fresh) / nominal_charge(n);
    flows.stored_cycles = after.ducts / in;
    return flows;
}

}  // namespace plenair

#pragma once

#include "solver/march/cycle_map.hpp"
#include "solver/march/result.hpp"
#include "solver/network/network.hpp"

#include <vector>

namespace plenair {

/// What the books of one cycle say besides the balances of its result.
struct CycleFlows {
    double fresh_difference =
        0;  ///< |fresh gas to cylinders - from the source| / all of the source
    double drawn = 0;  ///< fresh gas from the source over what the pistons displace
    double stored_cycles = 0;  ///< gas in the ducts over that of one cycle
};

/// Gas that a volumetric efficiency of one would draw in a cycle [kg].
[[nodiscard]] double nominal_charge(const Network& network);

/// Mass, energy, fresh air and flow balance of a cycle that began with `before` in store and ended
/// in `state`, relative to what came in; they go into `result`.
/// theory T50
[[nodiscard]] CycleFlows balance(const Network& network,
                                 const Stored& before,
                                 const std::vector<double>& state,
                                 PointResult& result);

}  // namespace plenair

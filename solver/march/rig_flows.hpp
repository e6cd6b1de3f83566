#pragma once

#include "solver/network/network.hpp"
#include "solver/network/scratch.hpp"

#include <vector>

namespace plenair {

/// What passes the openings of a network without an engine, outwards positive [kg/s].
struct RigFlows {
    std::vector<double> slot;  ///< per passage of the slot, in their order
    std::vector<double> runner;  ///< per runner, 0 where it is closed
    double outlet = 0;  ///< at the open ends of headers

    /// Through the whole slot.
    [[nodiscard]] double through_slot() const;
    /// Through all runners.
    [[nodiscard]] double through_runners() const;
};

/// @param snapshot  of an evaluation of the right-hand side at `state`
[[nodiscard]] RigFlows rig_flows(const Network& network,
                                 const std::vector<double>& state,
                                 const Snapshot& snapshot);

}  // namespace plenair

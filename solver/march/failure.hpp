#pragma once

#include "solver/march/result.hpp"
#include "solver/march/share_error.hpp"
#include "solver/network/network.hpp"

#include <string>

namespace plenair {

// Why a point has no result, or less of one: one sentence each, with what to change.

/// After too many cycles; `last` has the balances of the last one, `share_error` is
/// infinite where unknown.
[[nodiscard]] std::string not_periodic(const Network& network,
                                       const PointResult& last,
                                       double share_error,
                                       const ShareError& estimate);

/// An engine that draws next to no air, `drawn` of what its pistons displace, and has not come to
/// rest: it would take hundreds of cycles more to a state that nobody can use.
[[nodiscard]] std::string not_running(const Network& network, int cycles, double drawn);

/// A result all the same, whose shares are known to more than the tolerance.
[[nodiscard]] std::string known_only_to(const Network& network,
                                        const PointResult& last,
                                        double share_error,
                                        const ShareError& estimate);

/// Where a march left physical states.
struct Lost {
    int cell = -1;  ///< padded; -1: none
    int cylinder = -1;  ///< from 0; -1: none
    double time = 0;  ///< into the cycle [s]
    int fastest_cell = -1;  ///< of the largest Mach number one step before
    double mach = 0;  ///< there
};

/// @param speed  of the crank [rad/s]
[[nodiscard]] std::string not_physical(const Network& network,
                                       const Lost& lost,
                                       double speed,
                                       int cycle);

}  // namespace plenair

#pragma once

#include "solver/network/network.hpp"

namespace plenair {

#if defined(PLENAIR_CONTRACTS)
/// That a network hangs together: arrays as long as its cells say, indices of what exists, positive
/// volumes, areas and lengths, tables of its own gas; of an engine no crank table yet, or one with
/// as many rows as it says. A network is built so, and whoever marches one expects it.
void expect_complete(const Network& network);
#else
inline void expect_complete(const Network& /*network*/) {}
#endif

}  // namespace plenair

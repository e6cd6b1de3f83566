#pragma once

#include "solver/network/network.hpp"

#include <vector>

namespace plenair {

/// A state of one network on the cells of another of the same parts, cut finer or coarser:
/// conserved quantities and jets by lines between cell centres, passage flows by area from the
/// passage that stands at the same place, cylinders as they are, cycle integrals of zero. The two
/// need the same chains in the same order.
/// @return the state of `to`; empty where the parts differ.
[[nodiscard]] std::vector<double> transfer_state(const Network& from,
                                                 const std::vector<double>& state,
                                                 const Network& to);

}  // namespace plenair

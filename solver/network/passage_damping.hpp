#pragma once

#include "solver/network/network.hpp"

#include <vector>

namespace plenair {

/// Largest passage_return of a network [1/s], as lanes observe it while they march. Short columns
/// of air in fast slots return within microseconds, and an explicit step longer than some four such
/// times lets the flow swing to and fro instead.
[[nodiscard]] double passage_damping(const Network& network, const std::vector<double>& state);

}  // namespace plenair

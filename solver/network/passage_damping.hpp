#pragma once

#include "solver/network/network.hpp"

#include <vector>

namespace plenair {

/// Largest rate [1/s] at which the flow of a passage returns to its steady value, 2 m/((Cd A)^2 rho
/// P(x) L/A) with m the larger of the flow and its steady value: the slope of what the loss takes
/// from the pressure. Short columns of air in fast slots return within microseconds, and an
/// explicit step longer than some four such times lets the flow swing to and fro instead.
[[nodiscard]] double passage_damping(const Network& network, const std::vector<double>& state);

}  // namespace plenair

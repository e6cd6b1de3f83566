#pragma once

#include "geometry/intake.hpp"
#include "solver/network/model.hpp"

namespace plenair {

/// Cells in a chamber without runners: slot headers against closed forms.
inline constexpr int header_cells = 100;

// How many cells a part is cut into: whole numbers, as double since a part of a legal case may be
// asked for more than an int holds.
// theory T57

/// Chamber of `length` [m] in a bank.
[[nodiscard]] double chamber_cells(const geometry::Bank& bank, double length, const Model& model);
/// Runner with its port.
[[nodiscard]] double runner_cells(const geometry::Runner& runner, const Model& model);

}  // namespace plenair

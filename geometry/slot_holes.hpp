#pragma once

#include "geometry/intake.hpp"

/// Holes of a row: a hole keeps its area and its hydraulic diameter, which say its shape.
namespace plenair::geometry {

/// Whether it is a circle; a square has the same hydraulic diameter and more area.
[[nodiscard]] bool is_round(const SlotHole& hole);

/// Size across x [m]: of a circle its diameter, of a rectangle its width.
[[nodiscard]] double hole_width(const SlotHole& hole);

/// The hole drilled or milled wider by `change` [m]: a circle in diameter, a rectangle across x
/// alone. Sizes below zero count as zero.
[[nodiscard]] SlotHole widened(const SlotHole& hole, double change);

}  // namespace plenair::geometry

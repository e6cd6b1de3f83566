#pragma once

#include "geometry/intake.hpp"
#include "geometry/output_units.hpp"

#include <string>
#include <vector>

namespace plenair::study {

/// The metal with one drawn dimension changed, in every bank and every part of its kind alike.
struct DrawnMove {
    std::string key;  ///< "slot.width"
    std::string change;  ///< "+0.3 mm", "+0.012 in", of the mean where it varies
    geometry::Intake intake;
};

/// Every drawn dimension that the intake has, longer, wider or larger by a part of itself.
/// Chambers grow at their far end; runners and slots keep their places.
/// @param part  0.05: five percent
/// @param units  in which the changes are said
[[nodiscard]] std::vector<DrawnMove> drawn_moves(const geometry::Intake& intake,
                                                 double part,
                                                 geometry::OutputUnits units);

}  // namespace plenair::study

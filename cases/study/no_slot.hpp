#pragma once

#include "geometry/intake.hpp"

namespace plenair::study {

/// The same intake with the wall between pre-chamber and plenum taken out, bank by bank: one plenum
/// whose section along x is the sum of both sections, as long as the longer of the two, with the
/// perimeter of a circle of that section. The throttles stay where they are and feed the plenum;
/// wall temperature and roughness are the plenum's where it states them, else the pre-chamber's;
/// runners stay as they are. A bank without pre-chamber is left alone.
[[nodiscard]] geometry::Intake without_slot(const geometry::Intake& intake);

/// Whether any bank has a slot between two chambers, so that without_slot changes something.
[[nodiscard]] bool has_slot(const geometry::Intake& intake);

}  // namespace plenair::study

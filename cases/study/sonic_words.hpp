#pragma once

#include "geometry/output_units.hpp"
#include "solver/march/result.hpp"

#include <string>
#include <vector>

namespace plenair::study {

/// A sentence a place that is sonic in part of the cycle: part, place, crank angles and share of
/// the flow; cylinders alike share one. "runners 1, 2, 3 and 4 are sonic at the valve end from 381
/// to 580 deg after their own firing TDC, with 41 to 43 % of what passes there".
[[nodiscard]] std::vector<std::string> sonic_words(const std::vector<SonicSection>& sections,
                                                   const geometry::OutputUnits& units);

/// Puts them among the notes of a point.
void add_sonic_notes(const geometry::OutputUnits& units, PointResult& point);

}  // namespace plenair::study

#pragma once

#include "geometry/intake.hpp"

namespace plenair::geometry {

/// Effective area Cd x curtain of all valves of a cylinder at a lift [m], at most the geometric
/// area [m2].
[[nodiscard]] double effective_area(const Valve& valve, double lift);

}  // namespace plenair::geometry

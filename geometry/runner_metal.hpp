#pragma once

#include "geometry/intake.hpp"

#include <functional>

/// Runners whose metal is changed; the port behind the flange belongs to the head and stays.
namespace plenair::geometry {

/// Length of the runner itself, from its mouth to the flange [m].
[[nodiscard]] double flange_length(const Runner& runner);

/// Changes every bore from the mouth to the flange, as `runner.diameter` of a case does. A port
/// with a bore of its own keeps it; any other goes on with that of the runner's end.
/// @param change  new bore of an old one [m], above 0
void change_bore(Runner& runner, const std::function<double(double)>& change);

/// Makes it longer from mouth to flange [m]: bores keep their places as parts of that length, the
/// port its place behind the flange.
/// @pre the runner stays longer than 0
void change_length(Runner& runner, double longer);

}  // namespace plenair::geometry

#pragma once

#include "solver/march/cost.hpp"

#include <span>
#include <string>

namespace plenair {

struct Case;

/// Why a point of the case is refused before anything is built (solver/march/cost.hpp).
[[nodiscard]] TooCostly too_costly(const Case& c, const OperatingPoint& point);

/// What a verb has before it, estimated from the drawings before anything is built.
struct ExpectedWork {
    double seconds = 0;  ///< by the clock, within a factor of 2 or 3
    std::string longest;  ///< "point 'A1' (900 rpm, 86000 steps a cycle, by the plenum with cells
                          ///< of 0.5 mm)"
};

/// Solutions of a point that the bands from its coefficients are worth: fourteen, side by side and
/// from its own state.
inline constexpr double band_solutions = 2;
/// How much sooner a variant is done in lanes of a sweep than alone.
inline constexpr double lane_gain = 6;

/// All points of all cases, each solved `solutions` times, on `threads` threads (0: all cores).
[[nodiscard]] ExpectedWork expected_work(std::span<const Case* const> cases,
                                         double solutions,
                                         int threads);

/// "about 7 min, most of it point ..."; empty below ten seconds.
[[nodiscard]] std::string work_text(const ExpectedWork& work);

}  // namespace plenair

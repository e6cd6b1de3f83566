#pragma once

#include <functional>
#include <string>
#include <vector>

#include "cases/study/solve_result.hpp"

/// `choose` with one entry, as a reader of a page asks for it: of an entry's values that which
/// keeps the spread within a target at every point for the least slot loss.
namespace plenair::live {

/// What one value does over the points.
struct OneDesign {
    std::size_t value = 0;  ///< its place among the values
    bool known = false;  ///< every point converged
    double spread = 0;  ///< of the point with the most [-]
    double slot_loss = 0;  ///< mean over the points, of the pressure before the throttle [-]
    std::size_t worst = 0;  ///< point with the most spread
};

struct OneChoice {
    bool found = false;  ///< some value has a result
    bool met = false;  ///< the target holds at every point
    OneDesign best;  ///< certified
    int solved = 0;  ///< values that were looked at
};

/// Result of one point of a value. @param certified  else a preview is enough
using SolveOne = std::function<SolveResult(std::size_t value, std::size_t point, bool certified)>;

/// Looks at eleven values from end to end, then ever more closely beside the best; the best and its
/// neighbours are certified, and it moves to them until none is better.
/// @param values  how many, in ascending order; at least one
/// @param points  how many; at least one
/// @param target  most spread [-]
[[nodiscard]] OneChoice choose_one(std::size_t values,
                                   std::size_t points,
                                   double target,
                                   const SolveOne& solve);

/// "5.6 mm keeps 2.0 % at every point; ...": what came out.
/// @param texts  the values, as a person writes them
[[nodiscard]] std::string choice_words(const OneChoice& choice,
                                       const std::vector<std::string>& texts,
                                       const std::vector<std::string>& points,
                                       double target);

}  // namespace plenair::live

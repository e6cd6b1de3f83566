#pragma once

#include "cases/study/choose_goal.hpp"
#include "cases/study/choose_surface.hpp"

#include <utility>
#include <vector>

namespace plenair::study {

/// Two coordinates of the unit cube may differ by so much: `first - factor x second + shift` lies
/// within +-most.
struct PlaceLimit {
    std::size_t first = 0, second = 0;
    double most = 0;
};

/// The box within which to look.
struct Box {
    std::vector<double> low, high;
};

/// Where the goal is best on a surface, from a start: sequential quadratic programming with the
/// largest of several terms as an epigraph, each range between two bounds of its own, and one
/// excess common to all limits, so that a goal that cannot be met ends at the least excess.
/// @source Kraft D. 1988, DFVLR-FB 88-28 (SLSQP), in NLopt (Johnson S. G.)
[[nodiscard]] std::vector<double> descend(const Surface& surface,
                                          const Goal& goal,
                                          const std::vector<PlaceLimit>& limits,
                                          const Box& box,
                                          std::vector<double> start);

}  // namespace plenair::study

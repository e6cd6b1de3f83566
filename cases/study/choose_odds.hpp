#pragma once

#include "cases/study/choose_goal.hpp"
#include "cases/study/tolerance.hpp"

#include <vector>

/// What the shop's tolerances take from a goal.
namespace plenair::study {

/// Made parts of one design: what each input of its tolerances does, read from a surface.
struct MadeParts {
    Outputs drawn;  ///< as drawn
    std::vector<Outputs> parts;  ///< of each made part
    std::size_t solved = 0;  ///< designs solved for it
};

/// Draws parts of a design within the limits of its dimensions, coefficients as they stand.
/// @throws InputError where the design or one of its limits has no result
[[nodiscard]] MadeParts made_parts(const TolerancePlan& plan,
                                   std::size_t count,
                                   const ToleranceOptions& options);

/// The goal that holds for so many made parts: every limit is moved by what the parts take from it
/// (the quantile of its term over the parts, less the term as drawn), every term that is made small
/// counts with what they add to it.
/// @param share  0.95: of the parts
[[nodiscard]] Goal robust_goal(Goal goal, const MadeParts& made, double share);

/// Parts that meet every limit of a goal as drawn.
[[nodiscard]] std::size_t good_parts(const Goal& goal, const MadeParts& made);

/// The value that so many of the parts are at or below.
[[nodiscard]] double quantile_of(std::vector<double> values, double share);

}  // namespace plenair::study

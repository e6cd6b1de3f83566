#pragma once

#include "cases/study/solve_result.hpp"

#include <optional>
#include <string>
#include <vector>

/// The case that a reader of a page asks about, and the two ways in which it is solved there.
namespace plenair {
struct Case;
}

namespace plenair::live {

/// The case after its overrides, with the asked point alone, which may be a step of a curve.
/// @throws InputError as parse_case, or where there is no such point
[[nodiscard]] Case asked_case(const std::string& text,
                              const std::string& name,
                              const std::vector<std::string>& set,
                              const std::optional<std::string>& point);

/// On coarse cells, shares to about a hundredth of a percent.
/// @param state  the state of the last preview, to begin from; of the only point of a case it
/// becomes where this one came to
[[nodiscard]] SolveResult preview(Case c, std::vector<double>& state);

/// What `plenair solve` computes, without the points without slot.
[[nodiscard]] SolveResult certified(const Case& c, bool bands);

}  // namespace plenair::live

#pragma once

#include "cases/study/solve_result.hpp"

#include <string>
#include <string_view>
#include <vector>

/// Pieces of the report for one point, drawn by the functions that draw the stored report.
namespace plenair {

struct Case;

/// Names of all pieces: "figures", "bias", "losses", "row", "watch", "trims", "machining",
/// "drawing".
[[nodiscard]] const std::vector<std::string>& live_parts();

/// HTML of one piece.
/// @param part  one of live_parts(); another name gives no HTML
/// @param c  the case with the moved entries
/// @param result  of that case, one point alone
/// @return  empty where the case or the point has nothing of the kind: no slot to machine, a point
/// that did not converge
[[nodiscard]] std::string live_fragment(std::string_view part,
                                        const Case& c,
                                        const SolveResult& result);

}  // namespace plenair

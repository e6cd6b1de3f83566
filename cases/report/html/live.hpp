#pragma once

#include "cases/study/solve_result.hpp"
#include "geometry/slot_shop.hpp"

#include <string>
#include <vector>

/// What the working model of a report redraws for one point. Functions of a result take it with one
/// converged point; all give HTML without ids or styles of its own.
namespace plenair {
struct Case;
}

namespace plenair::html {

/// Spread, leanest cylinder, air and losses as tiles.
[[nodiscard]] std::string live_figures(const Case& c, const SolveResult& result);
/// Bias of each cylinder as columns, with its band.
[[nodiscard]] std::string live_bias(const Case& c, const SolveResult& result);
/// Losses as a bar and as a table.
[[nodiscard]] std::string live_losses(const Case& c, const SolveResult& result);
/// One row of a table over the points: name, speed, pressure, bias of each cylinder, spread, end
/// bias, band, loss, air flow. The heads stand in live_row_heads().
[[nodiscard]] std::string live_row(const Case& c, const SolveResult& result);
/// The heads that belong to live_row, as one table row.
[[nodiscard]] std::string live_row_heads(const SolveResult& result);
/// What is unusual in the entries or in the point, as a list; empty where nothing is.
[[nodiscard]] std::string live_watch(const Case& c, const SolveResult& result);
/// Trims, lambda and injector duty.
[[nodiscard]] std::string live_trims(const Case& c, const SolveResult& result);
/// Sizes of the slot for the shop; empty without a slot or where the case states no edge.
/// @param shops  what the case says of its slots for the shop, a bank each
[[nodiscard]] std::string live_machining(const Case& c,
                                         const std::vector<geometry::SlotShop>& shops);
/// Charts over speed of the curves of a whole result, with the line of a target [-]; empty without
/// curves.
[[nodiscard]] std::string live_speeds(const SolveResult& result, double target);
/// The intake to scale.
[[nodiscard]] std::string live_drawing(const Case& c, const std::vector<geometry::SlotShop>& shops);

}  // namespace plenair::html

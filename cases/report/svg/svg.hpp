#pragma once

#include "cases/report/html.hpp"

#include <string>

/// Charts of a result as static SVG.
namespace plenair::html {

/// Bias of each cylinder at each point as small column charts, static SVG; points whose spread is
/// above the target [-] are marked.
[[nodiscard]] std::string bias_panels(const SolveResult& result, double target);
/// Bias of each cylinder and spread over the speeds of each curve, with band, target [-], worst
/// speed and reversals, static SVG; empty without curves.
[[nodiscard]] std::string curve_charts(const SolveResult& result, double target);
/// One such chart, its scale in steps so that it rarely changes while entries move.
[[nodiscard]] std::string bias_panel(const PointResult& point);
/// Losses of each point as stacked bars, static SVG.
[[nodiscard]] std::string loss_bars(const SolveResult& result);

/// Predicted and measured side by side with error bars, static SVG: one chart a kind of reading.
/// @param design  the case: the slot as drawn
[[nodiscard]] std::string reading_charts(const Learned& learned, const Case& design);
/// Band of the spread before and after the readings, static SVG; empty without shares.
[[nodiscard]] std::string band_chart(const FitResult& fit);

}  // namespace plenair::html

#pragma once

#include "cases/study/fit.hpp"

#include <string>

/// What readings of the metal said: charts and tables of a fit.
namespace plenair::html {

/// A fit and the readings that it was made from.
struct Learned {
    FitResult fit;
    Measured measured;
};

/// Predicted and measured side by side with error bars, static SVG: one chart a kind of reading.
/// @param design  the case: the slot as drawn
[[nodiscard]] std::string reading_charts(const Learned& learned, const Case& design);
/// Band of the spread before and after the readings, static SVG; empty without shares.
[[nodiscard]] std::string band_chart(const FitResult& fit);
/// The whole section: what was learned, how well it fits, what to measure next.
[[nodiscard]] std::string learned_text(const Learned& learned, const Case& design);

}  // namespace plenair::html

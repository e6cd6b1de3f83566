#pragma once

#include <string>
#include <vector>

namespace plenair {

/// A point of a plot in characters, with its name.
struct ScatterPoint {
    double x = 0, y = 0;
    std::string name;
};

/// Points as letters in a frame of characters, names below; empty with fewer than two finite
/// points. Where letters fall together a "+" stands, and the names still say the numbers.
/// @param least_y  length of the vertical axis at least, so that it stretches no noise; points that
/// all lie within half of it, which cannot be told apart, stand in one line
[[nodiscard]] std::string scatter_text(const std::vector<ScatterPoint>& points,
                                       const std::string& x_title,
                                       const std::string& y_title,
                                       double least_y = 0);

}  // namespace plenair

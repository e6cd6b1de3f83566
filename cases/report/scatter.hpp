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
[[nodiscard]] std::string scatter_text(const std::vector<ScatterPoint>& points,
                                       const std::string& x_title,
                                       const std::string& y_title);

}  // namespace plenair

#pragma once

#include "cases/study/measured.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

/// Gauged sizes against the drawing.
namespace plenair {

struct Case;

struct GaugeItem {
    std::string entry, place;  ///< "station 3 (x 151.5 mm)", "runner 2"; empty where there is one
    std::size_t gauge = 0, index = 0;  ///< which reading of the file, and which value of it
    double value = 0, drawn = 0, limit = 0, uncertainty = 0;  ///< [m]; limit 0: none stated
    std::string verdict;  ///< "as drawn", "at the limit, 0.1 mm small", "0.2 mm small"

    [[nodiscard]] double off() const { return value - drawn; }
};

/// Each gauged value against what the drawing says there, of the bank, piece or runner that it is
/// of; without those that the case does not draw.
[[nodiscard]] std::vector<GaugeItem> gauge_items(const Case& c, const Measured& measured);

}  // namespace plenair

#pragma once

#include "cases/study/measured.hpp"
#include "cases/study/tolerance.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

/// Gauged sizes against the drawing.
namespace plenair {

struct Case;

namespace study {

/// Sizes that differ by less are the same [m].
inline constexpr double same_size = 1e-9;

}  // namespace study

struct GaugeItem {
    /// "station 3 (x 151.5 mm)", "cylinder 2", of a rig "runner 2"; empty where there is one
    std::string entry, place;
    std::size_t gauge = 0, index = 0;  ///< which reading of the file, and which value of it
    double value = 0, drawn = 0, limit = 0, uncertainty = 0;  ///< [m]; limit 0: none
    std::string verdict;  ///< "as drawn", "at the limit, 0.1 mm small", "0.2 mm small"

    [[nodiscard]] double off() const { return value - drawn; }
};

/// Whether a dimension that may be off is one that was gauged.
[[nodiscard]] bool is_gauged(const ToleratedDimension& dimension, const GaugeReading& gauge);

/// Each gauged value against what the drawing says there, of the bank, piece or runner that it is
/// of; without those that the case does not draw.
/// @param dimensions  the limits of sizes that the drawing itself gives none, as of the tolerance
/// study
[[nodiscard]] std::vector<GaugeItem> gauge_items(const Case& c,
                                                 const Measured& measured,
                                                 const std::vector<ToleratedDimension>& dimensions);

}  // namespace plenair

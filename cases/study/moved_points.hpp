#pragma once

#include "cases/study/entry.hpp"
#include "solver/march/result.hpp"
#include "solver/march/start.hpp"

#include <functional>
#include <span>
#include <vector>

namespace plenair::study {

/// A moved case at its operating point.
struct Shifted {
    Moved parts;
    OperatingPoint point;
    bool apart = false;  ///< of another law: shares no lanes with the others of its point
};

/// A solved point, near which moved ones lie.
struct NearPoint {
    const OperatingPoint* point = nullptr;
    const PointResult* result = nullptr;
    const Start* end = nullptr;  ///< where one more cycle of it begins; null: still gas
};

/// The moved cases that are wanted at a point, as many at each.
using MakeMoved = std::function<std::vector<Shifted>(const OperatingPoint& point)>;

/// A band is read to a tenth of a percent: its points need not be as periodic as the answer itself.
inline constexpr double band_tolerance = 1e-4;
/// What stands beside the points of a longer curve, their bands and the same points without slot,
/// marches in single precision.
inline constexpr std::size_t most_in_double = 16;

/// Solves moved cases of one point, or of points along a curve of ascending speeds, side by side.
/// They begin from the state of their point; along a curve some points come first, and the others
/// begin where their own state would be moved to as those of their neighbours were. Depends on the
/// points and their order, not on the threads.
/// @returns of each point its cases in turn
[[nodiscard]] std::vector<std::vector<PointResult>> solve_moved(const Case& c,
                                                                std::span<const NearPoint> points,
                                                                const MakeMoved& make,
                                                                int threads);

/// What bands are made of.
struct BandPoints {
    std::vector<std::vector<PointResult>> moved;  ///< as of solve_moved
    std::vector<PointResult>
        coarse;  ///< the points on cells of twice the length, with steps to match
};

/// Moved cases of points, and the points themselves on coarse cells.
[[nodiscard]] BandPoints solve_band_points(const Case& c,
                                           std::span<const NearPoint> points,
                                           const MakeMoved& make,
                                           int threads);

}  // namespace plenair::study

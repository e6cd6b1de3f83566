#pragma once

#include "geometry/intake.hpp"
#include "solver/ensemble/ensemble.hpp"
#include "solver/march/cycle.hpp"
#include "solver/march/result.hpp"
#include "solver/march/start.hpp"
#include "solver/network/model.hpp"
#include "solver/network/point.hpp"

#include <span>
#include <vector>

namespace plenair::study {

/// What lanes found of some points. Pressures along parts and traces are left empty.
struct Together {
    std::vector<PointResult> points;
    std::vector<Start> ends;  ///< where one more cycle begins; without state: did not converge
    std::vector<StepPlan> plans;  ///< steps of the last cycle
};

/// Points of one intake and engine along a curve of ascending speeds, side by side. Once some of
/// them are known the others begin on the smooth path between those. Depends on the points and
/// their order alone.
/// @param starts  where each begins instead; empty: none known
[[nodiscard]] Together march_together(const geometry::Intake& intake,
                                      const geometry::Engine& engine,
                                      const Model& model,
                                      std::span<const OperatingPoint> points,
                                      std::span<const Start> starts = {},
                                      Precision precision = Precision::float64);

/// So many points and more are done sooner side by side than one by one.
inline constexpr std::size_t enough_for_lanes = 6;

/// On the straight way from one end to another: 0 at `a`, 1 at `b`; also beyond them. Without state
/// where they are not of the same cells.
[[nodiscard]] Start between(const Start& a, const Start& b, double part);

/// Weighted sum; the first alone where they are not all of the same cells.
/// @pre as many weights as ends, and one at least
[[nodiscard]] Start blended(std::span<const Start* const> ends, const std::vector<double>& weights);

/// `base` moved as `from` was moved to `to`. Without state where they are not of the same cells.
[[nodiscard]] Start moved_along(const Start& base, const Start& from, const Start& to);

}  // namespace plenair::study

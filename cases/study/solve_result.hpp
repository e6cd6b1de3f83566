#pragma once

#include "cases/study/assumption.hpp"
#include "cases/study/reasons.hpp"
#include "geometry/output_units.hpp"
#include "solver/march/result.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace plenair {

/// What a curve over speed says beyond its points.
struct CurveResult {
    std::string name;
    std::size_t first = 0, count = 0;  ///< its points in the result
    /// Largest spread between the first and the last speed, also between the steps; none where no
    /// point converged.
    std::optional<PointResult> worst;
    double speed_uncertainty = 0;  ///< the worst speed may be off this much [rad/s]
    double spread_gain = 0;  ///< its spread less the largest of the steps [-]
    int solved = 0;  ///< points solved between the steps
};

/// A curve of no more points is shown like single ones.
inline constexpr std::size_t telling_of_curve = 4;

struct SolveResult {
    std::string title, case_digest, case_text;
    std::vector<PointResult> points;
    std::vector<CurveResult> curves;  ///< curves of the case
    std::size_t left_out = 0;  ///< points not begun when it was told to stop
    std::vector<Assumption> assumed;  ///< of the case; empty in a result that was read back
    Reasons reasons;
    std::string summary;  ///< in a sentence: spread over the points, where end bias reverses sign
    geometry::OutputUnits units;  ///< those of the case; a file of results holds its text
    [[nodiscard]] bool converged() const;
    /// The curve that a point belongs to, by its place; null: none.
    [[nodiscard]] const CurveResult* curve_of(std::size_t point) const;
    /// Points of no curve first, then those of each curve: within one group neighbouring speeds can
    /// be compared.
    [[nodiscard]] std::vector<std::vector<const PointResult*>> groups() const;
    /// The points where not all can be shown: those of no curve, and of each curve the first, the
    /// one in the middle, the last and the one with the most spread.
    [[nodiscard]] std::vector<const PointResult*> telling() const;
};

}  // namespace plenair

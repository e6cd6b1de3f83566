#pragma once

#include "cases/study/compare.hpp"
#include "cases/study/sweep.hpp"
#include "solver/march/result.hpp"

#include <cstddef>
#include <string>
#include <vector>

/// Many variants of one design at a glance: what a page on a sweep or a comparison shows.
namespace plenair {

/// One variant, over its points.
struct OverviewVariant {
    std::size_t number = 0;  ///< from 1, as in the sweep
    std::vector<InputValue> inputs;  ///< in the order of Overview::inputs
    std::string failure;  ///< why it has no figures; empty where it has
    double worst_spread = 0;  ///< [-]
    std::string worst_point;
    /// Loss of total pressure at throttle, slot, mouths, runner and port together over the pressure
    /// before the throttle, mean of the points [-].
    double loss = 0;
    double air_flow = 0;  ///< mean of the points [kg/s]
    bool front =
        false;  ///< no other has less spread at no more loss, or less loss at no more spread
};

struct Overview {
    std::string kind;  ///< "Sweep" or "Comparison"
    std::string title, case_digest, case_text;
    geometry::OutputUnits units;  ///< in which people read it
    std::vector<SweepInput> inputs;
    std::vector<std::string> points;  ///< names
    std::vector<OverviewVariant> variants;

    [[nodiscard]] std::size_t failed() const;
};

/// Figures of a variant over its points; its failure where one did not converge.
[[nodiscard]] OverviewVariant overview_of(const std::vector<PointResult>& points);
/// Marks the variants that no other beats in spread and loss.
void mark_front(Overview& overview);
/// Places in Overview::variants: those within the target [-] by loss, then the others by spread;
/// those without figures are left out.
[[nodiscard]] std::vector<std::size_t> ranking(const Overview& overview, double target);
/// The values of a comparison.
[[nodiscard]] Overview overview_of(const CompareResult& result);

}  // namespace plenair

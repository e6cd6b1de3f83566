#pragma once

#include "cases/study/choose.hpp"
#include "solver/march/result.hpp"

#include <cstddef>
#include <vector>

/// Goals of `choose` as functions of what a design does.
namespace plenair::study {

/// All that a design does, in a row of numbers that change smoothly with its dimensions.
using Outputs = std::vector<double>;

/// Limits are kept to by so much more than asked for while searching: the cold solution of the
/// answer differs from that in lanes by rounding and by what is left of the periodic residual.
/// [percent-like]
inline constexpr double search_margin = 2e-3;

/// A limit at one point: over `most` it is violated.
struct Term {
    /// Largest minus smallest of these outputs; with one of them alone, its value.
    std::vector<std::size_t> outputs = {};
    /// Weights of a sum of `outputs`, which then takes the place of their range; else empty.
    std::vector<double> weights = {};
    double scale = 1;  ///< of value and limit, so that terms of all kinds are alike
    double sign = 1;  ///< of a single output: +1 limits from above, -1 from below
    double most = 0;  ///< scaled and signed; of an objective: what is taken off its value
    double margin = 0;  ///< what made parts took from `most`
    std::size_t limit = 0;  ///< of the plan
    std::size_t point = 0;
};

/// What is made small: the largest of some terms, or a weighted sum of outputs.
struct Objective {
    std::vector<Term> worst;
    std::vector<std::pair<std::size_t, double>> sum;  ///< output and weight
};

struct Goal {
    std::vector<Term> terms;
    Objective objective;
    std::size_t outputs = 0;
};

/// Whether a term is the range of several outputs.
[[nodiscard]] inline bool is_range(const Term& term) {
    return term.outputs.size() > 1 && term.weights.empty();
}
/// Value of a term, scaled and signed.
[[nodiscard]] double value_of(const Term& term, const Outputs& y);
/// What is made small. [percent-like]
[[nodiscard]] double objective_of(const Goal& goal, const Outputs& y);
/// Largest excess over a limit, 0 where all hold. [percent-like]
[[nodiscard]] double violation_of(const Goal& goal, const Outputs& y);
/// Sum over the limits of the largest excess over each: one that cannot be kept to does not make
/// room for the others. [percent-like]
[[nodiscard]] double excess_of(const Goal& goal, const Outputs& y);
/// How many limits its terms may belong to.
[[nodiscard]] std::size_t limits_of(const Goal& goal);
/// One number to rank designs by: objective, and a penalty that outweighs it for each excess.
[[nodiscard]] double merit_of(const Goal& goal, const Outputs& y);

/// Places of the outputs of an engine's points.
class OutputMap final {
public:
    OutputMap(std::size_t points, std::size_t cylinders) : points_(points), cylinders_(cylinders) {}
    [[nodiscard]] std::size_t size() const { return points_ * width(); }
    [[nodiscard]] std::size_t bias(std::size_t point, std::size_t cylinder) const {
        return point * width() + cylinder;
    }
    [[nodiscard]] std::size_t slot_loss(std::size_t p) const { return last(p, 0); }
    [[nodiscard]] std::size_t total_loss(std::size_t p) const { return last(p, 1); }
    [[nodiscard]] std::size_t air(std::size_t p) const { return last(p, 2); }
    [[nodiscard]] std::size_t choke_margin(std::size_t p) const { return last(p, 3); }

private:
    [[nodiscard]] std::size_t width() const { return cylinders_ + 4; }
    [[nodiscard]] std::size_t last(std::size_t p, std::size_t k) const {
        return p * width() + cylinders_ + k;
    }
    std::size_t points_, cylinders_;
};

/// Outputs of solved points; empty where one did not converge.
[[nodiscard]] Outputs outputs_of(const std::vector<PointResult>& points);
/// Of a rig's set-ups: flow along each over its mean, then the flow itself.
[[nodiscard]] Outputs outputs_of(const std::vector<BenchResult>& set_ups);

/// What limits refer to.
struct References {
    std::vector<PointResult> present, no_slot;  ///< engine; no_slot may be empty
    std::vector<BenchResult> set_ups;  ///< rig
};

[[nodiscard]] Goal goal_of(const ChoosePlan& plan, const References& references);
/// The same with another aim.
[[nodiscard]] Objective objective_for(Aim aim,
                                      const ChoosePlan& plan,
                                      const References& references);

}  // namespace plenair::study

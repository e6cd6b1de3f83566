#pragma once

#include "cases/study/choose_descent.hpp"
#include "cases/study/choose_goal.hpp"
#include "solver/march/result.hpp"
#include "solver/march/start.hpp"

#include <cstddef>
#include <mutex>
#include <vector>

namespace plenair::study {

/// Designs that march side by side at a point; one more costs as much as so many.
inline constexpr std::size_t lanes_filled = 16;

/// A design that was solved. Its place: each number scaled to 0..1 between its bounds.
struct Tried {
    std::vector<double> place;
    Outputs outputs;  ///< empty where it has no result
    double merit = 0;  ///< +huge where it has no result
    std::vector<Start> ends = {};  ///< of its points, for others to begin from; may be empty
};

/// Solves designs, several side by side, and keeps what they did.
class Designs final {
public:
    Designs(const ChoosePlan& plan, const ChooseOptions& options);

    /// Reference results come first: the goal needs them.
    void set_goal(const Goal& goal);

    /// Solves those places that are new and keeps them. A place off the shop's steps is a design
    /// like any other.
    void solve(const std::vector<std::vector<double>>& places);
    /// One that was solved, by its place; null: not yet.
    [[nodiscard]] const Tried* find(const std::vector<double>& place) const;
    [[nodiscard]] const std::vector<Tried>& all() const { return all_; }
    [[nodiscard]] std::size_t failed() const;
    /// Through all that have a result.
    [[nodiscard]] Surface surface() const;
    /// The first reason why a design could not be solved.
    [[nodiscard]] const std::string& first_failure() const { return first_failure_; }

    [[nodiscard]] std::size_t dimension() const { return plan_.numbers.size(); }
    [[nodiscard]] std::vector<double> numbers(const std::vector<double>& place) const;
    [[nodiscard]] std::vector<double> place(const std::vector<double>& numbers) const;
    /// Shop step of a coordinate.
    [[nodiscard]] double step(std::size_t k) const;
    /// The nearest place on the steps of the shop, counted from zero, within the bounds.
    [[nodiscard]] std::vector<double> rounded(std::vector<double> place) const;
    [[nodiscard]] const std::vector<PlaceLimit>& limits() const { return limits_; }
    /// Whether neighbouring stations keep to their largest change.
    [[nodiscard]] bool allowed(const std::vector<double>& place) const;
    /// Brings stations closer together until they do.
    [[nodiscard]] std::vector<double> smoothed(std::vector<double> place) const;
    [[nodiscard]] bool stopped() const;

private:
    void solve_engine(const std::vector<std::size_t>& fresh);
    void solve_chunk(const std::vector<std::size_t>& chunk);
    void choose_plans();
    [[nodiscard]] std::vector<Start> starts_of(const std::vector<double>& place) const;
    void solve_rig(const std::vector<std::size_t>& fresh);
    void set_merit(Tried& tried) const;

    const ChoosePlan& plan_;
    const ChooseOptions& options_;
    Goal goal_;
    std::vector<PlaceLimit> limits_;
    std::vector<Tried> all_;
    std::string first_failure_;
    std::mutex mutex_;
    std::size_t known_ = 0;  ///< designs that others may begin from: those before this stage
    /// Of each point, for all designs that begin from known ones: shares of other steps differ.
    std::vector<StepPlan> plans_;
};

/// Results of a rig's set-ups that have a flow to be even: along a slot, or of all runners at once.
[[nodiscard]] std::vector<BenchResult> solve_set_ups(const Case& c);

}  // namespace plenair::study

#pragma once

#include "cases/study/choose_odds.hpp"
#include "cases/study/choose_search.hpp"

#include <optional>
#include <string>
#include <vector>

namespace plenair::study {

using Settings = std::vector<double>;

// What is equal to what can be told between variants, in percent of spread or of its like.
inline constexpr double tellable = 0.05;

/// The figures by which designs are compared.
struct Figures {
    double spread = 0, slot_loss = 0, air = 0;
};

/// One question of `choose` from its plan to its answer: choose.cpp looks for the design,
/// choose_assess.cpp says what it is worth.
class Choice final {
public:
    Choice(const ChoosePlan& plan, const ChooseOptions& options)
        : plan_(plan), options_(options), designs_(plan, options) {}

    ChooseResult answer();

private:
    void solve_references();
    void refuse_idle_numbers();
    void sample();
    [[nodiscard]] Settings choose_place(const std::vector<Optimum>& ends);
    /// The design that meets the goal for so many made parts as were asked for.
    [[nodiscard]] Settings make_robust(Settings chosen, std::vector<Optimum>& ends);
    [[nodiscard]] MadeParts parts_of(const Settings& place) const;
    [[nodiscard]] Settings knee();
    [[nodiscard]] Figures figures(const Outputs& y) const;
    [[nodiscard]] Design design_of(const Settings& place) const;
    void certify(Design& design, bool bands);
    void fill_references();
    void assess_limits();
    [[nodiscard]] std::string best_alone(std::size_t limit) const;
    void assess_parts();
    void name_cause();
    void price_limits(const Settings& chosen);
    void add_steps(const Settings& chosen);
    void add_front(const Settings& chosen);
    void add_others(const std::vector<Optimum>& ends, const Settings& chosen);
    [[nodiscard]] std::vector<Settings> front_places(const Settings& chosen);

    const ChoosePlan& plan_;
    const ChooseOptions& options_;
    Designs designs_;
    References references_;
    Goal goal_;
    Goal drawn_goal_;  ///< the same without what made parts take from it
    std::optional<MadeParts> made_;
    ChooseResult result_;
};

}  // namespace plenair::study

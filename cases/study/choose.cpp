#include "cases/study/choose.hpp"

#include "cases/study/choose_choice.hpp"
#include "cases/study/choose_words.hpp"
#include "cases/study/no_slot.hpp"
#include "cases/study/solve.hpp"
#include "geometry/error.hpp"
#include "geometry/quantity.hpp"
#include "solver/march/cycle.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace plenair::study {

namespace {

constexpr std::size_t parts_drawn = 4000;

std::vector<PointResult> solved(const Case& c, const ChooseOptions& options, bool bands) {
    SolveOptions solve_options;
    solve_options.threads = options.threads;
    solve_options.bands = bands;
    solve_options.refine_curves = false;
    return solve(c, solve_options).points;
}

void expect_results(const Case& c, const std::vector<PointResult>& points) {
    for (const auto& point : points) {
        if (!point.converged) {
            throw InputError({fmt::format(
                "{}: the case as it stands has no result at {} ({}); choose compares with it, so "
                "mend that first",
                c.path,
                point.name,
                point.failure)});
        }
    }
}

}  // namespace

void Choice::solve_references() {
    const Case& base = plan_.base;
    if (!base.has_engine) {
        references_.set_ups = solve_set_ups(base);
        if (references_.set_ups.empty() || outputs_of(references_.set_ups).empty()) {
            throw InputError({fmt::format(
                "{}: the rig as it stands has no result on the bench{}; choose begins from it",
                base.path,
                references_.set_ups.empty() ? "" : ": " + references_.set_ups.front().failure)});
        }
        return;
    }
    references_.present = solved(base, options_, false);
    expect_results(base, references_.present);
    if (has_slot(base.intake)) {
        Case plain = base;
        plain.intake = without_slot(base.intake);
        references_.no_slot = solved(plain, options_, false);
    }
    const bool needs_no_slot =
        std::any_of(plan_.limits.begin(), plan_.limits.end(), [](const auto& limit) {
            return limit.of == Measure::air_against_no_slot;
        });
    if (needs_no_slot && outputs_of(references_.no_slot).empty()) {
        throw InputError({fmt::format(
            "{}: choose.limit: air against no slot, but {}; limit air_against_present instead",
            base.path,
            references_.no_slot.empty() ? "the case has no slot between two chambers"
                                        : "the case without its slot did not converge")});
    }
}

Figures Choice::figures(const Outputs& y) const {
    Figures f;
    if (!plan_.base.has_engine) {
        Objective even = objective_for(Aim::evenness, plan_, references_);
        for (const auto& term : even.worst) {
            f.spread = std::max(f.spread, value_of(term, y) * term.scale);
        }
        f.air = y.back();
        return f;
    }
    const std::size_t count = references_.present.size();
    const std::size_t cylinders = references_.present.front().cylinders.size();
    const OutputMap map(count, cylinders);
    for (std::size_t p = 0; p < count; ++p) {
        double low = y[map.bias(p, 0)], high = low;
        for (std::size_t c = 1; c < cylinders; ++c) {
            low = std::min(low, y[map.bias(p, c)]);
            high = std::max(high, y[map.bias(p, c)]);
        }
        f.spread = std::max(f.spread, high - low);
        f.slot_loss += y[map.slot_loss(p)] / references_.present[p].source_pressure /
                       static_cast<double>(count);
        f.air += y[map.air(p)] / static_cast<double>(count);
    }
    return f;
}

Design Choice::design_of(const Settings& place) const {
    Design design;
    design.numbers = designs_.numbers(place);
    const auto* tried = designs_.find(place);
    if (tried != nullptr && !tried->outputs.empty()) {
        const Figures f = figures(tried->outputs);
        design.worst_spread = f.spread;
        design.slot_loss = f.slot_loss;
        design.air = f.air;
        design.known = true;
    }
    return design;
}

namespace {

/// Outputs of one point or set-up, cold and alone: the same case gives the same bits.
Outputs alone(const Case& c, std::size_t p) {
    if (c.has_engine) {
        return outputs_of(
            std::vector{solve_point(c.intake, c.engine, c.points.at(p), c.model, {})});
    }
    return p == 0 ? outputs_of(solve_set_ups(c)) : Outputs{};
}

}  // namespace

/// An entry that changes nothing would be chosen at random.
void Choice::refuse_idle_numbers() {
    std::vector<double> present;
    for (const auto& number : plan_.numbers) {
        present.push_back(number.present);
    }
    const Settings base = designs_.smoothed(designs_.place(present));
    const MadeCase before = plan_.make(designs_.numbers(base));
    const std::size_t points = plan_.base.has_engine ? plan_.base.points.size() : 1;
    std::vector<Outputs> known(points);
    std::vector<std::string> idle;
    for (std::size_t k = 0; before.failure.empty() && k < plan_.numbers.size(); ++k) {
        if (k > 0 && plan_.numbers[k].entry == plan_.numbers[k - 1].entry) {
            continue;
        }
        Settings place = base;
        for (std::size_t i = k; i < place.size(); ++i) {
            if (plan_.numbers[i].entry == plan_.numbers[k].entry) {
                constexpr double far = 0.3;
                place[i] = std::clamp(place[i] + (base[k] < 0.5 ? far : -far), 0.0, 1.0);
            }
        }
        const MadeCase after = plan_.make(designs_.numbers(place));
        bool same = after.failure.empty();
        for (std::size_t p = 0; same && p < points; ++p) {
            known[p] = known[p].empty() ? alone(before.c, p) : known[p];
            same = alone(after.c, p) == known[p];
        }
        if (same) {
            const auto& key = plan_.numbers[k].key;
            idle.push_back(fmt::format("{}: choose.vary.{} changes no result; take it out",
                                       plan_.base.path,
                                       key.substr(0, key.find(" at "))));
        }
    }
    if (!idle.empty()) {
        throw InputError(idle);
    }
}

void Choice::sample() {
    const std::size_t d = plan_.numbers.size();
    const std::size_t count = plan_.base.has_engine ? std::clamp<std::size_t>(16 * (d + 1), 48, 192)
                                                    : std::clamp<std::size_t>(4 * (d + 1), 16, 64);
    designs_.solve(even_sample(plan_, designs_, count, plan_.seed));
    const std::size_t known = designs_.all().size() - designs_.failed();
    if (known < d + 2) {
        const std::string& why = designs_.first_failure();
        throw InputError({fmt::format(
            "{}: only {} of {} designs between the bounds have a result{}; {}",
            plan_.base.path,
            known,
            designs_.all().size(),
            why.empty() ? "" : " (" + why + ")",
            known > 0
                ? "move the bounds"
                : "take out of [choose.vary] what this case cannot have, or move the bounds")});
    }
}

std::vector<Settings> Choice::front_places(const Settings& chosen) {
    // From the least loss that was seen to that of the least spread, at equal steps of loss.
    Goal goal = goal_;
    goal.objective = objective_for(Aim::spread, plan_, references_);
    const Objective loss = objective_for(Aim::slot_loss, plan_, references_);
    Term limit{.weights = {}, .scale = 1};
    for (const auto& [output, weight] : loss.sum) {
        limit.outputs.push_back(output);
        limit.weights.push_back(weight);
    }
    double least = 1e9, most = 0;
    for (const auto& tried : designs_.all()) {
        if (!tried.outputs.empty()) {
            const double value = value_of(limit, tried.outputs);
            least = std::min(least, value);
            most = std::max(most, value);
        }
    }
    const Surface surface = designs_.surface();
    const Box whole{Settings(chosen.size(), 0.0), Settings(chosen.size(), 1.0)};
    constexpr int steps = 9;
    std::vector<Settings> places;
    for (int i = 0; i < steps; ++i) {
        // Closer together where loss is small: there the front bends.
        const double part = static_cast<double>(i) / (steps - 1);
        Goal at = goal;
        limit.most = least + part * part * (most - least);
        at.terms.push_back(limit);
        places.push_back(designs_.rounded(descend(surface, at, designs_.limits(), whole, chosen)));
    }
    return places;
}

/// Of the designs that nothing beats, the one farthest below the straight line between the ends.
Settings Choice::knee() {
    const auto& all = designs_.all();
    const Settings best =
        std::min_element(all.begin(), all.end(), [](const auto& a, const auto& b) {
            return a.merit < b.merit;
        })->place;
    const auto places = front_places(best);
    designs_.solve(places);
    std::vector<std::pair<Figures, Settings>> front;
    for (const auto& place : places) {
        const auto* tried = designs_.find(place);
        if (!tried->outputs.empty() && violation_of(goal_, tried->outputs) <= 0) {
            front.emplace_back(figures(tried->outputs), place);
        }
    }
    if (front.size() < 3) {
        return best;
    }
    std::sort(front.begin(), front.end(), [](const auto& a, const auto& b) {
        return a.first.slot_loss < b.first.slot_loss;
    });
    const Figures low = front.front().first, high = front.back().first;
    const auto below = [&](const Figures& f) {
        const double x =
            (f.slot_loss - low.slot_loss) / std::max(1e-12, high.slot_loss - low.slot_loss);
        const double y = (f.spread - high.spread) / std::max(1e-12, low.spread - high.spread);
        return 1 - x - y;
    };
    return std::max_element(
               front.begin(),
               front.end(),
               [&](const auto& a, const auto& b) { return below(a.first) < below(b.first); })
        ->second;
}

Settings Choice::choose_place(const std::vector<Optimum>& ends) {
    if (plan_.aim == Aim::front) {
        return designs_.rounded(knee());
    }
    return settle_on_steps(designs_, goal_, ends.front().place);
}

/// Solved again, cold, from the case file with its new numbers, as `solve` does it.
void Choice::certify(Design& design, bool bands) {
    const Case c = plan_.read(design.numbers);
    result_.chosen_digest = c.digest;
    Outputs y;
    if (c.has_engine) {
        design.points = solved(c, options_, bands);
        y = outputs_of(design.points);
    } else {
        design.set_ups = solve_set_ups(c);
        y = outputs_of(design.set_ups);
    }
    design.known = !y.empty();
    if (design.known) {
        const Figures f = figures(y);
        design.worst_spread = f.spread;
        design.slot_loss = f.slot_loss;
        design.air = f.air;
    }
}

MadeParts Choice::parts_of(const Settings& place) const {
    ToleranceOptions options;
    options.threads = options_.threads;
    options.stop = options_.stop;
    return made_parts(plan_.tolerances(designs_.numbers(place)), parts_drawn, options);
}

Settings Choice::make_robust(Settings chosen, std::vector<Optimum>& ends) {
    double share = options_.odds;
    constexpr int most_rounds = 4;
    for (int round = 0; round < most_rounds && !designs_.stopped(); ++round) {
        made_ = parts_of(chosen);
        goal_ = robust_goal(drawn_goal_, *made_, share);
        designs_.set_goal(goal_);
        ends = search(designs_, goal_);
        const Settings next = choose_place(ends);
        const bool same = next == chosen;
        chosen = next;
        const auto* tried = designs_.find(chosen);
        const bool holds =
            tried != nullptr && !tried->outputs.empty() && violation_of(goal_, tried->outputs) <= 0;
        const double good = static_cast<double>(good_parts(drawn_goal_, *made_)) /
                            static_cast<double>(made_->parts.size());
        if (same && holds && good < options_.odds) {
            share = 1 - 0.5 * (1 - share);  // each limit holds for enough parts, not all at once
        } else if (same) {
            break;
        }
    }
    made_ = parts_of(chosen);
    goal_ = robust_goal(drawn_goal_, *made_, options_.odds);
    designs_.set_goal(goal_);
    return chosen;
}

void Choice::fill_references() {
    const auto fill = [&](Design& design, const Outputs& y) {
        const Figures f = figures(y);
        design.worst_spread = f.spread;
        design.slot_loss = f.slot_loss;
        design.air = f.air;
        design.known = true;
    };
    Design& present = result_.present;
    present.points = references_.present;
    present.set_ups = references_.set_ups;
    for (const auto& number : plan_.numbers) {
        present.numbers.push_back(number.present);
    }
    fill(present, plan_.base.has_engine ? outputs_of(present.points) : outputs_of(present.set_ups));
    if (const Outputs y = outputs_of(references_.no_slot); !y.empty()) {
        result_.no_slot.emplace();
        result_.no_slot->points = references_.no_slot;
        fill(*result_.no_slot, y);
        result_.no_slot->slot_loss = 0;
    }
}

ChooseResult Choice::answer() {
    solve_references();
    drawn_goal_ = goal_of(plan_, references_);
    goal_ = drawn_goal_;
    designs_.set_goal(goal_);
    refuse_idle_numbers();
    sample();
    auto ends = search(designs_, goal_);
    if (ends.empty()) {
        throw InputError({plan_.base.path +
                          ": no design between the bounds keeps to the largest change along x; "
                          "raise change in [choose.vary]"});
    }
    Settings chosen = choose_place(ends);
    if (options_.odds > 0) {
        chosen = make_robust(chosen, ends);
    }
    result_.title = plan_.base.title;
    result_.case_digest = plan_.base.digest;
    result_.case_text = plan_.base.text;
    result_.numbers = plan_.numbers;
    result_.aim = plan_.aim;
    result_.seed = plan_.seed;
    result_.chosen = design_of(chosen);
    result_.sets = plan_.sets(result_.chosen.numbers);
    certify(result_.chosen, options_.bands);
    fill_references();
    assess_limits();
    assess_parts();
    name_cause();
    add_others(ends, chosen);
    add_steps(chosen);
    price_limits(chosen);
    add_front(chosen);
    result_.variants = designs_.all().size();
    result_.failed = designs_.failed();
    add_sentences(plan_, result_);
    return std::move(result_);
}

}  // namespace plenair::study

namespace plenair {

ChooseResult choose(const ChoosePlan& plan, const ChooseOptions& options) {
    if (options.odds > 0 && !plan.base.has_engine) {
        throw InputError({plan.base.path + ": --odds needs [engine]: a rig has no tolerances"});
    }
    return study::Choice(plan, options).answer();
}

}  // namespace plenair

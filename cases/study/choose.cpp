#include "cases/study/choose.hpp"

#include "cases/study/causes.hpp"
#include "cases/study/choose_search.hpp"
#include "cases/study/choose_words.hpp"
#include "cases/study/no_slot.hpp"
#include "geometry/error.hpp"
#include "geometry/quantity.hpp"
#include "solver/march/cycle.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace plenair {

namespace {

using namespace study;
using Settings = std::vector<double>;

// What is equal to what can be told between variants, in percent of spread or of its like.
constexpr double tellable = 0.05;

/// The figures by which designs are compared.
struct Figures {
    double spread = 0, slot_loss = 0, air = 0;
};

/// One question from its plan to its answer.
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
    [[nodiscard]] Settings knee();
    [[nodiscard]] Figures figures(const Outputs& y) const;
    [[nodiscard]] Design design_of(const Settings& place) const;
    void certify(Design& design, bool bands);
    void judge_limits();
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
    ChooseResult result_;
};

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

/// Outputs of one point or set-up, cold and alone: the same case gives the same bits.
Outputs alone(const Case& c, std::size_t p) {
    if (c.has_engine) {
        return outputs_of(
            std::vector{solve_point(c.intake, c.engine, c.points.at(p), c.model, {})});
    }
    return p == 0 ? outputs_of(solve_set_ups(c)) : Outputs{};
}

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
        throw InputError({fmt::format(
            "{}: only {} of {} designs between the bounds have a result{}; move the bounds",
            plan_.base.path,
            known,
            designs_.all().size(),
            designs_.first_failure().empty() ? "" : " (" + designs_.first_failure() + ")")});
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

std::string point_name(const ChoosePlan& plan, const References& references, std::size_t p) {
    return plan.base.has_engine ? plan.base.points.at(p).name : references.set_ups.at(p).name;
}

/// SI value of a term in the unit of its limit.
double si_value(const ChooseLimit& limit, const Term& term, const Outputs& y, const References& r) {
    const double value = term.sign * value_of(term, y) * term.scale;
    const bool loss = limit.of == Measure::slot_loss || limit.of == Measure::total_loss;
    if (loss && limit.of_source) {
        return value / r.present.at(term.point).source_pressure;
    }
    if (limit.of == Measure::air_against_present) {
        return value / r.present.at(term.point).air_flow;
    }
    if (limit.of == Measure::air_against_no_slot) {
        return value / r.no_slot.at(term.point).air_flow;
    }
    return value;
}

void Choice::judge_limits() {
    const auto y = plan_.base.has_engine ? outputs_of(result_.chosen.points)
                                         : outputs_of(result_.chosen.set_ups);
    result_.all_met = !y.empty();
    for (std::size_t i = 0; i < plan_.limits.size(); ++i) {
        LimitState state;
        state.text = plan_.limits[i].text;
        const Term* worst = nullptr;
        for (const auto& term : goal_.terms) {
            if (y.empty() || term.limit != i) {
                continue;
            }
            const double over = value_of(term, y) - term.most;
            worst = worst == nullptr || over > value_of(*worst, y) - worst->most ? &term : worst;
        }
        if (worst != nullptr) {
            state.value = si_value(plan_.limits[i], *worst, y, references_);
            state.at = point_name(plan_, references_, worst->point);
            state.shown = shown(plan_.limits[i], state.value);
            state.met = value_of(*worst, y) <= worst->most + search_margin + 1e-9;
        }
        result_.all_met = result_.all_met && state.met;
        result_.limits.push_back(std::move(state));
    }
}

/// Where the spread cannot be brought down far enough: what it is made of.
void Choice::name_cause() {
    for (std::size_t i = 0; i < plan_.limits.size() && plan_.base.has_engine; ++i) {
        if (plan_.limits[i].of != Measure::spread || result_.limits[i].met ||
            !result_.chosen.known) {
            continue;
        }
        CausesOptions causes_options;
        causes_options.threads = options_.threads;
        causes_options.points = {result_.limits[i].at};
        result_.cause =
            causes(plan_.read(result_.chosen.numbers), causes_options).sentences.front();
        return;
    }
}

void Choice::price_limits(const Settings& chosen) {
    if (!result_.all_met || plan_.aim == Aim::front) {
        return;
    }
    const Surface surface = designs_.surface();
    // Near by: far away the surface knows less than a price should.
    Box whole{chosen, chosen};
    for (std::size_t k = 0; k < chosen.size(); ++k) {
        whole.low[k] = std::max(0.0, chosen[k] - 0.25);
        whole.high[k] = std::min(1.0, chosen[k] + 0.25);
    }
    const auto best_of = [&](const Goal& goal) {
        const Settings at = descend(surface, goal, designs_.limits(), whole, chosen);
        return objective_of(goal, surface.at(at));
    };
    const double now = best_of(goal_);
    for (std::size_t i = 0; i < plan_.limits.size(); ++i) {
        constexpr double part = 0.1;
        Goal looser = goal_;
        for (auto& term : looser.terms) {
            if (term.limit == i) {
                term.most += part * std::abs(term.most);
            }
        }
        const double gain = now - best_of(looser);
        constexpr double worth = 0.01;
        result_.limits[i].binds = gain > worth;
        if (result_.limits[i].binds) {
            const auto& limit = plan_.limits[i];
            const double bound = limit.most ? *limit.most : *limit.least;
            result_.limits[i].price = fmt::format("{} {} of it would {} the {} by {:.2f} %",
                                                  shown(limit, part * bound),
                                                  limit.most ? "more" : "less",
                                                  plan_.aim == Aim::air ? "raise" : "lower",
                                                  name_of(plan_.aim),
                                                  gain);
        }
    }
}

void Choice::add_steps(const Settings& chosen) {
    std::vector<Settings> around{chosen};
    for (std::size_t k = 0; k < chosen.size(); ++k) {
        around.push_back(moved(designs_, chosen, k, 1));
        around.push_back(moved(designs_, chosen, k, -1));
    }
    designs_.solve(around);
    const auto* here = designs_.find(chosen);
    if (here == nullptr || here->outputs.empty()) {
        return;
    }
    const Surface surface = designs_.surface();
    const Figures f = figures(here->outputs);
    for (std::size_t k = 0; k < chosen.size(); ++k) {
        StepEffect effect;
        effect.key = plan_.numbers[k].key;
        for (const int steps : {1, -1}) {
            const Settings beside = moved(designs_, chosen, k, steps);
            const auto* tried = designs_.find(beside);
            if (effect.known || beside == chosen || tried == nullptr || tried->outputs.empty()) {
                continue;
            }
            const Figures g = figures(tried->outputs);
            effect.step = steps * plan_.numbers[k].step;
            effect.spread = g.spread - f.spread;
            effect.slot_loss = g.slot_loss - f.slot_loss;
            effect.air = g.air / f.air - 1;
            effect.known = true;
        }
        const double merit = merit_of(goal_, surface.at(chosen));
        const auto reach = [&](int sign) {
            Settings at = chosen;
            for (int i = 0; i < 200; ++i) {
                const Settings next = moved(designs_, at, k, sign);
                if (next == at || !designs_.allowed(next) ||
                    merit_of(goal_, surface.at(next)) > merit + tellable) {
                    break;
                }
                at = next;
            }
            return designs_.numbers(at)[k];
        };
        effect.flat_low = reach(-1);
        effect.flat_high = reach(1);
        result_.steps.push_back(std::move(effect));
    }
}

void Choice::add_front(const Settings& chosen) {
    const auto add = [&](const std::string& name, const Design& design) {
        result_.front.push_back(
            {name, design.numbers, design.worst_spread, design.slot_loss, design.air});
    };
    add("present", result_.present);
    if (result_.no_slot) {
        add("no slot", *result_.no_slot);
    }
    add("chosen", result_.chosen);
    if (!plan_.base.has_engine || !result_.no_slot) {
        return;
    }
    const auto places = front_places(chosen);
    designs_.solve(places);
    std::vector<Settings> seen;
    for (const auto& place : places) {
        const Design design = design_of(place);
        if (design.known && std::find(seen.begin(), seen.end(), place) == seen.end()) {
            seen.push_back(place);
            add("", design);
        }
    }
    for (auto& a : result_.front) {
        a.best = std::none_of(result_.front.begin(), result_.front.end(), [&](const auto& b) {
            return b.spread <= a.spread && b.slot_loss <= a.slot_loss &&
                   (b.spread < a.spread || b.slot_loss < a.slot_loss);
        });
    }
    std::stable_sort(result_.front.begin(), result_.front.end(), [](const auto& a, const auto& b) {
        return a.slot_loss < b.slot_loss;
    });
}

void Choice::add_others(const std::vector<Optimum>& ends, const Settings& chosen) {
    const auto* best = designs_.find(chosen);
    constexpr std::size_t most = 2;
    for (std::size_t i = 1; i < ends.size() && result_.others.size() < most; ++i) {
        if (best == nullptr || ends[i].merit > best->merit + tellable || plan_.aim == Aim::front) {
            continue;
        }
        const Settings place = settle_on_steps(designs_, goal_, ends[i].place);
        best = designs_.find(chosen);
        const auto* tried = designs_.find(place);
        bool far = false;
        for (std::size_t k = 0; k < place.size(); ++k) {
            far = far || std::abs(place[k] - chosen[k]) > 4 * designs_.step(k);
        }
        if (far && tried->merit < best->merit + tellable) {
            result_.others.push_back(design_of(place));
        }
    }
}

ChooseResult Choice::answer() {
    solve_references();
    goal_ = goal_of(plan_, references_);
    designs_.set_goal(goal_);
    refuse_idle_numbers();
    sample();
    const auto ends = search(designs_, goal_);
    if (ends.empty()) {
        throw InputError({plan_.base.path +
                          ": no design between the bounds keeps to the largest change along x; "
                          "raise change in [choose.vary]"});
    }
    const Settings chosen = choose_place(ends);
    result_.title = plan_.base.title;
    result_.case_digest = plan_.base.digest;
    result_.case_text = plan_.base.text;
    result_.numbers = plan_.numbers;
    result_.aim = plan_.aim;
    result_.seed = plan_.seed;
    result_.chosen = design_of(chosen);
    result_.sets = plan_.sets(result_.chosen.numbers);
    certify(result_.chosen, options_.bands);
    Design& present = result_.present;
    present.points = references_.present;
    present.set_ups = references_.set_ups;
    present.known = true;
    for (const auto& number : plan_.numbers) {
        present.numbers.push_back(number.present);
    }
    const auto fill = [&](Design& design, const Outputs& y) {
        const Figures f = figures(y);
        design.worst_spread = f.spread;
        design.slot_loss = f.slot_loss;
        design.air = f.air;
    };
    fill(present, plan_.base.has_engine ? outputs_of(present.points) : outputs_of(present.set_ups));
    if (const Outputs y = outputs_of(references_.no_slot); !y.empty()) {
        result_.no_slot.emplace();
        result_.no_slot->points = references_.no_slot;
        result_.no_slot->known = true;
        fill(*result_.no_slot, y);
        result_.no_slot->slot_loss = 0;
    }
    judge_limits();
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

}  // namespace

ChooseResult choose(const ChoosePlan& plan, const ChooseOptions& options) {
    return Choice(plan, options).answer();
}

}  // namespace plenair

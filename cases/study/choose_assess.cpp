#include "cases/study/causes.hpp"
#include "cases/study/choose_choice.hpp"
#include "cases/study/choose_words.hpp"
#include "cases/study/percent.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace plenair::study {

namespace {

std::string point_name(const ChoosePlan& plan, const References& references, std::size_t p) {
    return plan.base.has_engine ? plan.base.points.at(p).name : references.set_ups.at(p).name;
}

/// SI value of a term in the unit of its limit.
double si_value(const ChooseLimit& limit, const Term& term, const Outputs& y, const References& r) {
    const double value = term.sign * (value_of(term, y) + term.margin) * term.scale;
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

/// Of the terms of a limit the one that is farthest over it; null: it has none.
const Term* worst_term(const Goal& goal, std::size_t limit, const Outputs& y) {
    const Term* worst = nullptr;
    for (const auto& term : goal.terms) {
        if (term.limit != limit) {
            continue;
        }
        const double over = value_of(term, y) - term.most;
        worst = worst == nullptr || over > value_of(*worst, y) - worst->most ? &term : worst;
    }
    return worst;
}

}  // namespace

/// What the best of all designs has of a limit, where none of them meets it.
std::string Choice::best_alone(std::size_t limit) const {
    const Tried* best = nullptr;
    const Term* its_worst = nullptr;
    double least = 0;
    for (const auto& tried : designs_.all()) {
        const Term* worst =
            tried.outputs.empty() ? nullptr : worst_term(goal_, limit, tried.outputs);
        const double over = worst == nullptr ? 0 : value_of(*worst, tried.outputs) - worst->most;
        if (worst != nullptr && (best == nullptr || over < least)) {
            best = &tried;
            its_worst = worst;
            least = over;
        }
    }
    if (best == nullptr || least <= search_margin) {
        return {};
    }
    const auto& of = plan_.limits[limit];
    return fmt::format("{} at {}",
                       shown(of, si_value(of, *its_worst, best->outputs, references_)),
                       point_name(plan_, references_, its_worst->point));
}

void Choice::assess_limits() {
    const auto y = plan_.base.has_engine ? outputs_of(result_.chosen.points)
                                         : outputs_of(result_.chosen.set_ups);
    result_.all_met = !y.empty();
    for (std::size_t i = 0; i < plan_.limits.size(); ++i) {
        LimitState state;
        state.text = plan_.limits[i].text;
        if (made_) {
            state.text += fmt::format(" for {:g} % of made parts", in_percent(options_.odds));
        }
        const Term* worst = y.empty() ? nullptr : worst_term(goal_, i, y);
        if (worst != nullptr) {
            state.value = si_value(plan_.limits[i], *worst, y, references_);
            state.at = point_name(plan_, references_, worst->point);
            state.shown = shown(plan_.limits[i], state.value);
            state.met = value_of(*worst, y) <= worst->most + search_margin + 1e-9;
        }
        if (!state.met) {
            state.best_alone = best_alone(i);
        }
        result_.all_met = result_.all_met && state.met;
        result_.limits.push_back(std::move(state));
    }
}

/// Odds of the chosen design, where they were asked for.
void Choice::assess_parts() {
    if (!made_) {
        return;
    }
    MadeOdds& made = result_.made.emplace();
    made.wanted = options_.odds;
    made.odds = odds_of(good_parts(drawn_goal_, *made_), made_->parts.size());
    made.solved = made_->solved;
    std::vector<double> spreads;
    for (const auto& part : made_->parts) {
        spreads.push_back(figures(part).spread);
    }
    made.spread = quantile_of(std::move(spreads), options_.odds);
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
    std::vector<Settings> neighbours{chosen};
    for (std::size_t k = 0; k < chosen.size(); ++k) {
        neighbours.push_back(moved(designs_, chosen, k, 1));
        neighbours.push_back(moved(designs_, chosen, k, -1));
    }
    designs_.solve(neighbours);
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
    std::vector<Settings> added;
    // The search meets the answer again, a rounding off.
    const auto is_chosen = [this](const Design& design) {
        return std::equal(design.numbers.begin(),
                          design.numbers.end(),
                          result_.chosen.numbers.begin(),
                          result_.chosen.numbers.end(),
                          [](double a, double b) { return std::abs(a - b) <= 1e-9 * std::abs(b); });
    };
    for (const auto& place : places) {
        const Design design = design_of(place);
        if (design.known && !is_chosen(design) &&
            std::find(added.begin(), added.end(), place) == added.end()) {
            added.push_back(place);
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

}  // namespace plenair::study

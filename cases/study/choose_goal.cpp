#include "cases/study/choose_goal.hpp"

#include <algorithm>
#include <numeric>

namespace plenair::study {

namespace {

// Values are compared in percent of what they are a part of.
constexpr double percent = 0.01;
// One percent over a limit outweighs twenty percent of spread.
constexpr double excess_price = 20;
// And any excess at all outweighs what may be gained by it: limits are limits.
constexpr double barrier = 10;

double range_of(const std::vector<std::size_t>& at, const Outputs& y) {
    double low = y.at(at.front()), high = low;
    for (const std::size_t i : at) {
        low = std::min(low, y.at(i));
        high = std::max(high, y.at(i));
    }
    return high - low;
}

std::vector<std::size_t> biases(const OutputMap& map, std::size_t point, std::size_t cylinders) {
    std::vector<std::size_t> at;
    for (std::size_t c = 0; c < cylinders; ++c) {
        at.push_back(map.bias(point, c));
    }
    return at;
}

const std::vector<double>& slot_shares(const BenchResult& r) {
    return !r.flow_per_runner.empty() ? r.flow_per_runner
           : !r.hole_flow.empty()     ? r.hole_flow
                                      : r.flow_per_length;
}

/// Terms of one limit at one of an engine's points.
class EngineTerms final {
public:
    EngineTerms(const References& references)
        : references_(references),
          cylinders_(references.present.front().cylinders.size()),
          map_(references.present.size(), cylinders_) {}

    [[nodiscard]] Term spread(std::size_t p) const {
        return {.outputs = biases(map_, p, cylinders_), .scale = percent, .point = p};
    }
    [[nodiscard]] const OutputMap& map() const { return map_; }

    void add(const ChooseLimit& limit, std::size_t index, std::size_t p, Goal& goal) const {
        Term term{.scale = percent, .limit = index, .point = p};
        const PointResult& present = references_.present.at(p);
        double unit = 1;  // SI of a limit of 1
        switch (limit.of) {
            case Measure::spread:
                term.outputs = biases(map_, p, cylinders_);
                break;
            case Measure::end_bias:
                for (const auto& bank : present.banks) {
                    if (!bank.first.empty()) {
                        term.outputs = {bias_of(p, bank.first.front()),
                                        bias_of(p, bank.last.front())};
                        add_sides(limit, term, unit, goal);
                    }
                }
                return;
            case Measure::slot_loss:
            case Measure::total_loss:
                term.outputs = {limit.of == Measure::slot_loss ? map_.slot_loss(p)
                                                               : map_.total_loss(p)};
                term.scale = percent * present.source_pressure;
                unit = limit.of_source ? present.source_pressure : 1;
                break;
            case Measure::air:
            case Measure::air_against_present:
            case Measure::air_against_no_slot: {
                const bool no_slot = limit.of == Measure::air_against_no_slot;
                const double air = no_slot ? references_.no_slot.at(p).air_flow : present.air_flow;
                term.outputs = {map_.air(p)};
                term.scale = percent * air;
                unit = limit.of == Measure::air ? 1 : air;
                break;
            }
            default:
                term.outputs = {map_.choke_margin(p)};
        }
        add_sides(limit, term, unit, goal);
    }

    static void add_sides(const ChooseLimit& limit, Term term, double unit, Goal& goal) {
        if (limit.most) {
            term.sign = 1;
            term.most = *limit.most * unit / term.scale - search_margin;
            goal.terms.push_back(term);
        }
        if (limit.least) {
            term.sign = -1;
            term.most = -*limit.least * unit / term.scale - search_margin;
            goal.terms.push_back(term);
        }
    }

private:
    /// Place of the bias of a cylinder by its number.
    [[nodiscard]] std::size_t bias_of(std::size_t p, int cylinder) const {
        return map_.bias(p, static_cast<std::size_t>(cylinder - 1));
    }

    const References& references_;
    std::size_t cylinders_;
    OutputMap map_;
};

/// Places of the flows of each set-up, and of its whole flow behind them.
std::vector<std::vector<std::size_t>> rig_places(const std::vector<BenchResult>& set_ups) {
    std::vector<std::vector<std::size_t>> all;
    std::size_t next = 0;
    for (const auto& set_up : set_ups) {
        auto& places = all.emplace_back(slot_shares(set_up).size() + 1);
        std::iota(places.begin(), places.end(), next);
        next += places.size();
    }
    return all;
}

Term unevenness_term(std::vector<std::size_t> places, std::size_t set_up) {
    places.pop_back();
    return {.outputs = std::move(places), .scale = percent, .point = set_up};
}

void add_rig_limit(const ChooseLimit& limit,
                   std::size_t index,
                   const References& references,
                   Goal& goal) {
    const auto places = rig_places(references.set_ups);
    for (const std::size_t s : limit.points) {
        Term term = unevenness_term(places.at(s), s);
        if (limit.of == Measure::flow) {
            term.outputs = {places.at(s).back()};
            term.scale = percent * references.set_ups.at(s).flow;
        }
        term.limit = index;
        EngineTerms::add_sides(limit, term, 1, goal);
    }
}

}  // namespace

std::size_t limits_of(const Goal& goal) {
    std::size_t count = 0;
    for (const auto& term : goal.terms) {
        count = std::max(count, term.limit + 1);
    }
    return count;
}

double value_of(const Term& term, const Outputs& y) {
    if (is_range(term)) {
        return term.sign * range_of(term.outputs, y) / term.scale;
    }
    double sum = 0;
    for (std::size_t i = 0; i < term.outputs.size(); ++i) {
        sum += (term.weights.empty() ? 1 : term.weights[i]) * y.at(term.outputs[i]);
    }
    return term.sign * sum / term.scale;
}

double objective_of(const Goal& goal, const Outputs& y) {
    double value = 0;
    for (const auto& [output, weight] : goal.objective.sum) {
        value += weight * y.at(output);
    }
    double worst = 0;
    for (const auto& term : goal.objective.worst) {
        worst = std::max(worst, value_of(term, y) - term.most);
    }
    return value + worst;
}

double violation_of(const Goal& goal, const Outputs& y) {
    double worst = 0;
    for (const auto& term : goal.terms) {
        worst = std::max(worst, value_of(term, y) - term.most);
    }
    return worst;
}

double excess_of(const Goal& goal, const Outputs& y) {
    std::vector<double> worst(limits_of(goal), 0.0);
    for (const auto& term : goal.terms) {
        worst[term.limit] = std::max(worst[term.limit], value_of(term, y) - term.most);
    }
    return std::accumulate(worst.begin(), worst.end(), 0.0);
}

double merit_of(const Goal& goal, const Outputs& y) {
    const double excess = excess_of(goal, y);
    return objective_of(goal, y) + excess_price * excess + (excess > 0 ? barrier : 0);
}

Outputs outputs_of(const std::vector<PointResult>& points) {
    Outputs y;
    for (const auto& point : points) {
        if (!point.converged) {
            return {};
        }
        for (const auto& cylinder : point.cylinders) {
            y.push_back(cylinder.bias);
        }
        y.insert(y.end(),
                 {point.slot_loss,
                  point.throttle_loss + point.slot_loss + point.mouth_loss + point.port_loss,
                  point.air_flow,
                  point.choke_margin});
    }
    return y;
}

Outputs outputs_of(const std::vector<BenchResult>& set_ups) {
    Outputs y;
    for (const auto& set_up : set_ups) {
        if (!set_up.converged) {
            return {};
        }
        const auto& flows = slot_shares(set_up);
        const double mean = std::accumulate(flows.begin(), flows.end(), 0.0) /
                            static_cast<double>(std::max<std::size_t>(1, flows.size()));
        for (const double flow : flows) {
            y.push_back(flow / mean);
        }
        y.push_back(set_up.flow);
    }
    return y;
}

Objective objective_for(Aim aim, const ChoosePlan& plan, const References& references) {
    Objective objective;
    if (aim == Aim::evenness) {
        const auto places = rig_places(references.set_ups);
        for (std::size_t s = 0; s < places.size(); ++s) {
            objective.worst.push_back(unevenness_term(places[s], s));
        }
        return objective;
    }
    const EngineTerms terms(references);
    const std::size_t count = plan.base.points.size();
    for (std::size_t p = 0; p < count; ++p) {
        const double over = percent * static_cast<double>(count);
        const PointResult& present = references.present.at(p);
        if (aim == Aim::slot_loss || aim == Aim::total_loss) {
            objective.sum.emplace_back(
                aim == Aim::slot_loss ? terms.map().slot_loss(p) : terms.map().total_loss(p),
                1 / (over * present.source_pressure));
        } else if (aim == Aim::air) {
            objective.sum.emplace_back(terms.map().air(p), -1 / (over * present.air_flow));
        } else {
            objective.worst.push_back(terms.spread(p));
        }
    }
    return objective;
}

Goal goal_of(const ChoosePlan& plan, const References& references) {
    Goal goal;
    goal.objective = objective_for(plan.aim, plan, references);
    if (!plan.base.has_engine) {
        for (std::size_t i = 0; i < plan.limits.size(); ++i) {
            add_rig_limit(plan.limits[i], i, references, goal);
        }
        goal.outputs = outputs_of(references.set_ups).size();
        return goal;
    }
    const EngineTerms terms(references);
    for (std::size_t i = 0; i < plan.limits.size(); ++i) {
        for (const std::size_t p : plan.limits[i].points) {
            terms.add(plan.limits[i], i, p, goal);
        }
    }
    goal.outputs = terms.map().size();
    return goal;
}

}  // namespace plenair::study

namespace plenair {

double unevenness(const BenchResult& set_up) {
    const auto y = study::outputs_of(std::vector<BenchResult>{set_up});
    if (y.size() < 2) {
        return 0;
    }
    const auto [low, high] = std::minmax_element(y.begin(), y.end() - 1);
    return *high - *low;
}

}  // namespace plenair

#include "cases/study/choose_odds.hpp"

#include "cases/study/tolerance_surface.hpp"
#include "geometry/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <random>

namespace plenair::study {

namespace {

/// What the parts add to the value of a term.
double taken_from(const Term& term, const MadeParts& made, double share) {
    std::vector<double> values;
    for (const auto& part : made.parts) {
        values.push_back(value_of(term, part));
    }
    return std::max(0.0, quantile_of(std::move(values), share) - value_of(term, made.drawn));
}

}  // namespace

MadeParts made_parts(const TolerancePlan& plan,
                     std::size_t count,
                     const ToleranceOptions& options) {
    TolerancePlan metal = plan;
    metal.coefficients = false;
    const std::size_t inputs = plan.dimensions.size();
    std::vector<std::vector<double>> ends{std::vector<double>(inputs, 0.0)};
    for (std::size_t k = 0; k < inputs; ++k) {
        for (const double end : {-1.0, 1.0}) {
            ends.emplace_back(inputs, 0.0).at(k) = end;
        }
    }
    const auto outputs = solve_parts(metal, ends, options);
    for (std::size_t i = 0; i < outputs.size(); ++i) {
        if (outputs[i].empty()) {
            throw InputError({fmt::format(
                "{}: with {} there is no result, so no odds; a smaller tolerance would say more",
                plan.base.path,
                i == 0 ? std::string("the chosen design itself")
                       : plan.dimensions[(i - 1) / 2].key + " at its limit")});
        }
    }
    std::vector<Outputs> low, high;
    for (std::size_t k = 0; k < inputs; ++k) {
        low.push_back(outputs[1 + 2 * k]);
        high.push_back(outputs[2 + 2 * k]);
    }
    const ToleranceSurface surface(outputs.front(), low, high);
    MadeParts made{outputs.front(), std::vector<Outputs>(count), outputs.size()};
    std::mt19937_64 random(plan.seed);
    std::vector<double> part(inputs);
    for (auto& y : made.parts) {
        for (double& deviation : part) {
            // The same bits from every library: a uniform number of the top 53 of 64.
            deviation = 2 * std::ldexp(static_cast<double>(random() >> 11), -53) - 1;
        }
        surface.at(part, y);
    }
    return made;
}

Goal robust_goal(Goal goal, const MadeParts& made, double share) {
    for (auto& term : goal.terms) {
        term.margin = taken_from(term, made, share);
        term.most -= term.margin;
    }
    for (auto& term : goal.objective.worst) {
        term.margin = taken_from(term, made, share);
        term.most = -term.margin;
    }
    return goal;
}

std::size_t good_parts(const Goal& goal, const MadeParts& made) {
    return static_cast<std::size_t>(
        std::count_if(made.parts.begin(), made.parts.end(), [&](const Outputs& part) {
            return std::all_of(goal.terms.begin(), goal.terms.end(), [&](const Term& term) {
                return value_of(term, part) <= term.most + search_margin + 1e-9;
            });
        }));
}

double quantile_of(std::vector<double> values, double share) {
    const auto last = static_cast<double>(values.size() - 1);
    const auto at = values.begin() + static_cast<std::ptrdiff_t>(std::ceil(share * last));
    std::nth_element(values.begin(), at, values.end());
    return *at;
}

}  // namespace plenair::study

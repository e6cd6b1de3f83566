#include "cases/study/fit_answer.hpp"

#include <algorithm>
#include <cmath>

namespace plenair::study {

namespace {

/// Does something to every number of an answer, in their order.
template <class Any, class Do>
void each_number(Any& answer, Do&& act) {
    for (auto& number : answer.bench) {
        act(number);
    }
    for (auto& [point, at] : answer.points) {
        for (auto& bias : at.bias) {
            act(bias);
        }
        act(at.air_flow);
        act(at.plenum_pressure);
    }
}

}  // namespace

std::string Answer::missing(const std::vector<std::size_t>& wanted) const {
    if (!std::all_of(bench.begin(), bench.end(), [](double f) { return std::isfinite(f); })) {
        return "a bench set-up did not converge";
    }
    for (const std::size_t p : wanted) {
        if (!points.contains(p)) {
            const auto why = failures.find(p);
            return why == failures.end() ? "a point did not converge" : why->second;
        }
    }
    return {};
}

Eigen::VectorXd Answer::numbers() const {
    Eigen::Index count = 0;
    each_number(*this, [&](double) { ++count; });
    Eigen::VectorXd out(count);
    Eigen::Index k = 0;
    each_number(*this, [&](double value) { out[k++] = value; });
    return out;
}

Answer Answer::with(const Eigen::VectorXd& numbers) const {
    Answer other = *this;
    Eigen::Index k = 0;
    each_number(other, [&](double& value) { value = numbers[k++]; });
    return other;
}

}  // namespace plenair::study

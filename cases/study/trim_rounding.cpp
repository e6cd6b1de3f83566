#include "cases/study/trim.hpp"
#include "geometry/error.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numeric>

namespace plenair {

namespace {

double mean(const std::vector<double>& values) {
    return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

/// Without the last-bit noise of steps added up, so that 7 x 0.5 % prints as 3.5 %.
double decimal(double value) {
    constexpr double digits = 1e12;
    return std::round(value * digits) / digits + 0.0;  // no minus before a zero
}

/// Nearest multiple of the step; a tie goes to more fuel.
double to_step(double value, double step) {
    // 2.25 % and 0.5 % are no binary numbers: their tie is only a tie within rounding.
    constexpr double tie = 1e-9;
    return decimal(std::floor(value / step + 0.5 + tie) * step);
}

}  // namespace

Trims trims_of(const std::vector<double>& biases, double step) {
    if (!(step > 0.0) || !std::isfinite(step)) {
        throw InputError({fmt::format("trim step {}: must be above 0; write e.g. 0.5", step)});
    }
    if (biases.empty()) {
        throw InputError({"no air shares given: trims need one of each cylinder"});
    }
    for (std::size_t i = 0; i < biases.size(); ++i) {
        if (!std::isfinite(biases[i]) || biases[i] <= -1.0) {
            throw InputError({fmt::format(
                "air share of place {}: {} is no share; give air over mean air - 1, above -1",
                i + 1,
                biases[i])});
        }
    }
    Trims trims;
    const double offset = mean(biases);
    for (const double bias : biases) {
        trims.exact.push_back(bias - offset);
        trims.rounded.push_back(to_step(bias - offset, step));
    }
    trims.moved_mean = decimal(std::accumulate(trims.rounded.begin(), trims.rounded.end(), 0.0)) /
                       static_cast<double>(trims.rounded.size());
    return trims;
}

std::optional<Trims> usual_trims(const PointResult& point) {
    if (!point.converged || point.cylinders.empty()) {
        return std::nullopt;
    }
    std::vector<double> biases;
    for (const auto& cylinder : point.cylinders) {
        biases.push_back(cylinder.bias);
    }
    return trims_of(biases, TrimOptions{}.step);
}

}  // namespace plenair

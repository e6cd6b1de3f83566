#include "geometry/profile.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <stdexcept>
#include <utility>

namespace plenair::geometry {

namespace {

/// Integral from the first station to `x`; negative where `x` lies before it.
double cumulative(const std::vector<double>& x, const std::vector<double>& value, double upper) {
    if (upper <= x.front()) {
        return (upper - x.front()) * value.front();
    }
    double sum = 0;
    for (std::size_t i = 1; i < x.size(); ++i) {
        const double width = x[i] - x[i - 1];
        if (upper <= x[i]) {
            const double part = (upper - x[i - 1]) / width;
            const double end = value[i - 1] + part * (value[i] - value[i - 1]);
            return sum + 0.5 * (upper - x[i - 1]) * (value[i - 1] + end);
        }
        sum += 0.5 * width * (value[i - 1] + value[i]);
    }
    return sum + (upper - x.back()) * value.back();
}

}  // namespace

Profile Profile::constant(double value) {
    return stations({0.0}, {value});
}

Profile Profile::linear(double start, double end, double length) {
    return stations({0.0, length}, {start, end});
}

Profile Profile::stations(std::vector<double> x, std::vector<double> value) {
    if (x.empty() || x.size() != value.size()) {
        throw std::invalid_argument(
            "profile: x and value need the same number of stations, at least one");
    }
    for (std::size_t i = 1; i < x.size(); ++i) {
        if (!(x[i] > x[i - 1])) {
            throw std::invalid_argument("profile: stations must ascend in x");
        }
    }
    Profile profile;
    profile.x_ = std::move(x);
    profile.value_ = std::move(value);
    return profile;
}

double Profile::at(double x) const {
    if (value_.empty()) {
        throw std::logic_error("profile: no station");
    }
    if (x <= x_.front()) {
        return value_.front();
    }
    if (x >= x_.back()) {
        return value_.back();
    }
    const auto upper = std::upper_bound(x_.begin(), x_.end(), x);
    const auto i = static_cast<std::size_t>(upper - x_.begin());
    const double part = (x - x_[i - 1]) / (x_[i] - x_[i - 1]);
    return value_[i - 1] + part * (value_[i] - value_[i - 1]);
}

double Profile::integral(double from, double to) const {
    if (value_.empty()) {
        throw std::logic_error("profile: no station");
    }
    return cumulative(x_, value_, to) - cumulative(x_, value_, from);
}

double Profile::mean(double from, double to) const {
    return from == to ? at(from) : integral(from, to) / (to - from);
}

double Profile::smallest() const {
    if (value_.empty()) {
        throw std::logic_error("profile: no station");
    }
    return *std::min_element(value_.begin(), value_.end());
}

double Profile::largest() const {
    if (value_.empty()) {
        throw std::logic_error("profile: no station");
    }
    return *std::max_element(value_.begin(), value_.end());
}

}  // namespace plenair::geometry

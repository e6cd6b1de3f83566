#include "cases/report/words/numbers.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <Eigen/LU>

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <numeric>

namespace plenair {

double percent(double ratio) {
    return converted(ratio, "%");
}

std::string joined_notes(const PointResult& point) {
    return fmt::format("{}", fmt::join(point.notes, "; "));
}

std::string fixed(double value, int decimals) {
    if (!std::isfinite(value)) return "-";
    const std::string text = fmt::format("{:.{}f}", value, decimals);
    const bool zero = text.find_first_not_of("-0.") == std::string::npos;
    return zero && text.front() == '-' ? text.substr(1) : text;
}

std::string scientific(double value) {
    return std::isfinite(value) ? fmt::format("{:.1e}", value) : "-";
}

bool has_slot(const PointResult& point) {
    return point.slot_to_throttle > 0;
}

std::string signed_percent(double ratio) {
    const std::string text = fixed(percent(ratio), 1);
    const bool plain = text == "-" || text == "0.0" || text.front() == '-';
    return plain ? text : "+" + text;
}

namespace {

/// Slots of at least so many cells have their end values from four cells each.
constexpr std::size_t enough_cells = 24;

/// Value at the outer wall of cell `first`: exact for a parabola's cell means, and blind to a flow
/// that alternates from cell to cell, as it does by a few tenths of a per cent where a slot begins
/// within its chamber; three cells alone would enlarge that. Weights (17, 1, -11, 5)/12 where all
/// cells are alike; the outermost may be shorter than the others.
double smooth_end_value(const std::vector<double>& x,
                        const std::vector<double>& mean,
                        std::size_t first,
                        bool ahead) {
    const auto at = [first, ahead](Eigen::Index i) {
        const auto step = static_cast<std::size_t>(i);
        return ahead ? first + step : first - step;
    };
    const double width = std::abs(x[at(2)] - x[at(1)]);
    const double first_width = 2.0 * std::abs(x[at(1)] - x[first]) - width;
    Eigen::Matrix4d conditions;  // on 1, t, t^2 [widths of a cell] and on the alternating flow
    double edge = 0;
    for (Eigen::Index i = 0; i < conditions.cols(); ++i) {
        const double near = edge;
        const double far = edge += i == 0 ? first_width / width : 1.0;
        conditions.col(i) << 1.0, 0.5 * (near + far), (near * near + near * far + far * far) / 3.0,
            i % 2 == 0 ? 1.0 : -1.0;
    }
    const Eigen::Vector4d weight = conditions.inverse().col(0);
    double value = 0;
    for (Eigen::Index i = 0; i < weight.size(); ++i) {
        value += weight[i] * mean[at(i)];
    }
    return value;
}

/// Value at the outer wall of cell `first` of the parabola with the means of the three outer cells;
/// of the straight line through two where there are no more or they differ in width.
double end_value(const std::vector<double>& x,
                 const std::vector<double>& mean,
                 std::size_t first,
                 bool ahead) {
    const auto at = [first, ahead](std::size_t i) { return ahead ? first + i : first - i; };
    const double a = mean[first];
    const double b = mean[at(1)];
    if (mean.size() > 2) {
        const double near = x[at(1)] - x[first];
        const double far = x[at(2)] - x[at(1)];
        constexpr double same_width = 1e-6;
        if (std::abs(far - near) < same_width * std::abs(near)) {
            return (11 * a - 7 * b + 2 * mean[at(2)]) / 6;
        }
    }
    return a + 0.5 * (a - b);
}

}  // namespace

std::optional<SlotShape> slot_shape(const std::vector<double>& x,
                                    const std::vector<double>& flow_per_length) {
    const auto& w = flow_per_length;
    const std::size_t n = w.size();
    if (n < 2 || x.size() != n) return std::nullopt;
    if (std::adjacent_find(x.begin(), x.end(), std::greater_equal<>()) != x.end()) {
        return std::nullopt;  // slots of several banks, one after the other
    }
    double integral = 0, length = 0;
    for (std::size_t i = 0; i < n; ++i) {
        const double before = i > 0 ? x[i] - x[i - 1] : x[1] - x[0];
        const double after = i + 1 < n ? x[i + 1] - x[i] : x[n - 1] - x[n - 2];
        const double width = 0.5 * (before + after);
        integral += w[i] * width;
        length += width;
    }
    const double mean = integral / length;
    if (!std::isfinite(mean) || mean == 0) return std::nullopt;
    const auto end = n >= enough_cells ? smooth_end_value : end_value;
    const double inlet = end(x, w, 0, true);
    const double closed = end(x, w, n - 1, false);
    const auto [low, high] = std::minmax_element(w.begin(), w.end());
    const double smallest = std::min({*low, inlet, closed});
    const double largest = std::max({*high, inlet, closed});
    return SlotShape{inlet / mean, closed / mean, (largest - smallest) / mean};
}

std::optional<SlotShape> hole_shape(const std::vector<double>& hole_flow) {
    if (hole_flow.size() < 2) return std::nullopt;
    const double mean = std::accumulate(hole_flow.begin(), hole_flow.end(), 0.0) /
                        static_cast<double>(hole_flow.size());
    if (!std::isfinite(mean) || mean == 0) return std::nullopt;
    const auto [low, high] = std::minmax_element(hole_flow.begin(), hole_flow.end());
    return SlotShape{hole_flow.front() / mean, hole_flow.back() / mean, (*high - *low) / mean};
}

BenchNumbers bench_numbers(const BenchResult& result, double reference_density) {
    BenchNumbers numbers;
    numbers.cfm_density = reference_density > 0 ? reference_density : result.density;
    numbers.volume_flow = numbers.cfm_density > 0 ? result.flow / numbers.cfm_density
                                                  : std::numeric_limits<double>::quiet_NaN();
    numbers.slot = result.hole_flow.empty() ? slot_shape(result.x, result.flow_per_length)
                                            : hole_shape(result.hole_flow);
    double sum = 0;
    int open = 0;
    for (const double flow : result.flow_per_runner) {
        sum += flow;
        open += flow != 0 ? 1 : 0;
    }
    if (open < 2 || sum == 0) return numbers;
    for (const double flow : result.flow_per_runner) {
        numbers.bias.push_back(flow != 0 ? std::optional(flow * open / sum - 1) : std::nullopt);
    }
    return numbers;
}

int runner_number(const BenchResult& result, std::size_t runner) {
    return runner < result.runners.size() ? result.runners[runner] : static_cast<int>(runner) + 1;
}

double runner_spread(const BenchNumbers& numbers) {
    double low = std::numeric_limits<double>::infinity(), high = -low;
    for (const auto& bias : numbers.bias) {
        if (!bias) continue;
        low = std::min(low, *bias);
        high = std::max(high, *bias);
    }
    return high >= low ? high - low : 0;
}

}  // namespace plenair

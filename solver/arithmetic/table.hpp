#pragma once

#include <array>
#include <cstddef>

#include "solver/arithmetic/real.hpp"

/// Interpolation in published tables; start-up and reference use, not for the inner loop.
namespace plenair::arithmetic {

namespace detail {

template <std::size_t N>
[[nodiscard]] constexpr std::size_t interval(const std::array<double, N>& at, double x) {
    std::size_t i = 0;
    while (i + 2 < N && x >= at[i + 1]) ++i;
    return i;
}

/// Slope at point i of the parabola through it and its neighbours (one-sided at the ends).
template <std::size_t N>
[[nodiscard]] constexpr double parabola_slope(const std::array<double, N>& at,
                                              const std::array<double, N>& value,
                                              std::size_t i) {
    const std::size_t m = i == 0 ? 1 : (i == N - 1 ? N - 2 : i);
    const double h0 = at[m] - at[m - 1];
    const double h1 = at[m + 1] - at[m];
    const double d0 = (value[m] - value[m - 1]) / h0;
    const double d1 = (value[m + 1] - value[m]) / h1;
    const double curve = (d1 - d0) / (h0 + h1);
    return d0 + curve * (i == 0 ? -h0 : (i == N - 1 ? h0 + 2.0 * h1 : h0));
}

}  // namespace detail

/// Straight lines between the points, the end values held outside.
template <std::size_t N>
[[nodiscard]] constexpr double linear_table(const std::array<double, N>& at,
                                            const std::array<double, N>& value,
                                            double x) {
    const double inside = clamp(x, at[0], at[N - 1]);
    const std::size_t i = detail::interval(at, inside);
    PLENAIR_EXPECT(at[i] <= inside && inside <= at[i + 1] && at[i] < at[i + 1]);
    return value[i] + (inside - at[i]) / (at[i + 1] - at[i]) * (value[i + 1] - value[i]);
}

/// Cubic Hermite curve through the points (continuous slope), the end values held outside.
template <std::size_t N>
[[nodiscard]] constexpr double smooth_table(const std::array<double, N>& at,
                                            const std::array<double, N>& value,
                                            double x) {
    static_assert(N >= 3);
    const double inside = clamp(x, at[0], at[N - 1]);
    const std::size_t i = detail::interval(at, inside);
    PLENAIR_EXPECT(at[i] <= inside && inside <= at[i + 1] && at[i] < at[i + 1]);
    const double h = at[i + 1] - at[i];
    const double t = (inside - at[i]) / h;
    const double s0 = h * detail::parabola_slope(at, value, i);
    const double s1 = h * detail::parabola_slope(at, value, i + 1);
    const double rise = value[i + 1] - value[i];
    return value[i] + t * (s0 + t * (3.0 * rise - 2.0 * s0 - s1 + t * (s0 + s1 - 2.0 * rise)));
}

}  // namespace plenair::arithmetic

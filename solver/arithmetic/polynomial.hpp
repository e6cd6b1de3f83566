#pragma once

#include <array>
#include <cstddef>

#include "solver/arithmetic/real.hpp"

namespace plenair::arithmetic {

/// Polynomial in t = (x - middle) * scale, which runs over [-1, 1]: well conditioned, no division.
/// Coefficients may be packs: one polynomial a variant.
template <std::size_t Degree, class C = double>
struct Polynomial {
    std::array<C, Degree + 1> coefficient{};
    double middle = 0;
    double scale = 1;

    template <class R>
    [[nodiscard]] R operator()(R x) const {
        const R t = (x - R(middle)) * R(scale);
        R value = R(coefficient[Degree]);
        for (std::size_t i = Degree; i-- > 0;) value = value * t + R(coefficient[i]);
        return value;
    }

    /// d/dx.
    template <class R>
    [[nodiscard]] R slope(R x) const {
        const R t = (x - R(middle)) * R(scale);
        R value = R(static_cast<double>(Degree) * coefficient[Degree]);
        for (std::size_t i = Degree; i-- > 1;)
            value = value * t + R(static_cast<double>(i) * coefficient[i]);
        return value * R(scale);
    }
};

/// cos(n angle) at the Chebyshev nodes, a row a node; n = 1 is the node itself.
template <std::size_t Degree, std::size_t Nodes>
using ChebyshevRows = std::array<std::array<double, Degree + 2>, Nodes>;

/// They are the same for every function: made once.
template <std::size_t Degree, std::size_t Nodes>
[[nodiscard]] const ChebyshevRows<Degree, Nodes>& chebyshev_rows() {
    static const ChebyshevRows<Degree, Nodes> rows = [] {
        constexpr double pi = 3.14159265358979323846;
        ChebyshevRows<Degree, Nodes> made{};
        for (std::size_t j = 0; j < Nodes; ++j) {
            const double angle = pi * (static_cast<double>(j) + 0.5) / static_cast<double>(Nodes);
            for (std::size_t n = 0; n < made[j].size(); ++n) {
                made[j][n] = cos(static_cast<double>(n) * angle);
            }
        }
        return made;
    }();
    return rows;
}

/// Truncated Chebyshev series of f on [low, high], sampled at `Nodes` Chebyshev nodes; with
/// Nodes = Degree + 1 it interpolates. Close to the minimax fit of that degree.
template <std::size_t Degree, std::size_t Nodes = Degree + 1, class Function>
[[nodiscard]] Polynomial<Degree> fit_chebyshev(Function&& f, double low, double high) {
    static_assert(Nodes > Degree);
    PLENAIR_EXPECT(low < high);
    const double middle = 0.5 * (low + high);
    const double half = 0.5 * (high - low);
    std::array<double, Degree + 1> series{};
    for (const auto& row : chebyshev_rows<Degree, Nodes>()) {
        const double value = f(middle + half * row[1]);
        for (std::size_t n = 0; n <= Degree; ++n)
            series[n] += (n == 0 ? 1.0 : 2.0) / static_cast<double>(Nodes) * value * row[n];
    }
    Polynomial<Degree> result;
    result.middle = middle;
    result.scale = 1.0 / half;
    std::array<double, Degree + 1> before{}, current{};  // T(n-1), T(n) as powers of t
    before[0] = 1.0;
    result.coefficient[0] = series[0];
    if constexpr (Degree > 0) {
        current[1] = 1.0;
        for (std::size_t n = 1; n <= Degree; ++n) {
            for (std::size_t i = 0; i <= n; ++i) result.coefficient[i] += series[n] * current[i];
            std::array<double, Degree + 1> next{};
            for (std::size_t i = 0; i < Degree; ++i) next[i + 1] = 2.0 * current[i];
            for (std::size_t i = 0; i <= Degree; ++i) next[i] -= before[i];
            before = current;
            current = next;
        }
    }
    return result;
}

}  // namespace plenair::arithmetic

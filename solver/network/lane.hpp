#pragma once

#include "solver/arithmetic/pack.hpp"

#include <cstddef>

namespace plenair {

/// How the kernel reads and writes its real type: a double, or a pack of variants side by side.
template <class R>
struct Lane {
    using Element = typename R::Element;
    static constexpr std::size_t width = R::width;
    static R load(const Element* p, std::size_t i) { return R::load(p + i * width); }
    static void store(Element* p, std::size_t i, R value) { value.store(p + i * width); }
};

template <>
struct Lane<double> {
    using Element = double;
    static constexpr std::size_t width = 1;
    static double load(const double* p, std::size_t i) { return p[i]; }
    static void store(double* p, std::size_t i, double value) { p[i] = value; }
};

/// A polynomial of one variant a lane, read where it is used: middle, scale, coefficients.
template <std::size_t Degree, class R>
struct LanePolynomial {
    const typename Lane<R>::Element* numbers = nullptr;

    [[nodiscard]] R operator()(R x) const {
        const R t = (x - Lane<R>::load(numbers, 0)) * Lane<R>::load(numbers, 1);
        R value = Lane<R>::load(numbers, Degree + 2);
        for (std::size_t i = Degree; i-- > 0;) {
            value = value * t + Lane<R>::load(numbers, i + 2);
        }
        return value;
    }

    /// d/dx.
    [[nodiscard]] R slope(R x) const {
        const R scale = Lane<R>::load(numbers, 1);
        const R t = (x - Lane<R>::load(numbers, 0)) * scale;
        R value = static_cast<double>(Degree) * Lane<R>::load(numbers, Degree + 2);
        for (std::size_t i = Degree; i-- > 1;) {
            value = value * t + static_cast<double>(i) * Lane<R>::load(numbers, i + 2);
        }
        return value * scale;
    }
};

/// One of the two gases of a cylinder, as Numbers::cylinder_gas has it.
template <class R>
struct LaneCylinderGas {
    static constexpr std::size_t energy_count = 11, guess_degree = 4;
    const typename Lane<R>::Element* numbers = nullptr;

    [[nodiscard]] R energy_coefficient(std::size_t i) const { return Lane<R>::load(numbers, i); }
    [[nodiscard]] R guess_of(R u) const {
        using arithmetic::max;
        using arithmetic::min;
        constexpr std::size_t range = energy_count + guess_degree + 3;
        const LanePolynomial<guess_degree, R> guess{numbers + energy_count * Lane<R>::width};
        return guess(min(max(u, Lane<R>::load(numbers, range)), Lane<R>::load(numbers, range + 1)));
    }
};

}  // namespace plenair

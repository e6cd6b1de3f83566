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

    /// Even and odd powers apart: two short chains of operations instead of a long one.
    [[nodiscard]] R operator()(R x) const {
        const R t = (x - Lane<R>::load(numbers, 0)) * Lane<R>::load(numbers, 1);
        return split<Degree>(t, [this](std::size_t i) { return coefficient(i); });
    }

    /// d/dx.
    [[nodiscard]] R slope(R x) const {
        const R scale = Lane<R>::load(numbers, 1);
        const R t = (x - Lane<R>::load(numbers, 0)) * scale;
        return scale * split<Degree - 1>(t, [this](std::size_t i) {
                   return static_cast<double>(i + 1) * coefficient(i + 1);
               });
    }

private:
    [[nodiscard]] R coefficient(std::size_t i) const { return Lane<R>::load(numbers, i + 2); }

    template <std::size_t Top, class Coefficient>
    [[nodiscard]] static R split(R t, Coefficient c) {
        constexpr std::size_t top_even = Top - Top % 2;
        constexpr std::size_t top_odd = Top - (Top + 1) % 2;
        const R square = t * t;
        R even = c(top_even);
        for (std::size_t i = top_even; i >= 2; i -= 2) {
            even = even * square + c(i - 2);
        }
        R odd = c(top_odd);
        for (std::size_t i = top_odd; i >= 3; i -= 2) {
            odd = odd * square + c(i - 2);
        }
        return even + t * odd;
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

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

}  // namespace plenair

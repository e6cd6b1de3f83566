#pragma once

#include <cmath>

#include "solver/arithmetic/elementary.hpp"

/// The few operations that a law may use on its real type R. A lane class brings overloads of the
/// same names; a templated law says `using arithmetic::select;` and calls without a namespace.
namespace plenair::arithmetic {

/// condition ? a : b, written as a function so that lanes can blend.
constexpr double select(bool condition, double a, double b) {
    return condition ? a : b;
}

/// Smaller of two; the second one if the first is not a number.
constexpr double min(double a, double b) {
    return a < b ? a : b;
}

/// Larger of two; the second one if the first is not a number.
constexpr double max(double a, double b) {
    return a > b ? a : b;
}

constexpr double clamp(double x, double low, double high) {
    return min(max(x, low), high);
}

constexpr double abs(double x) {
    return x < 0.0 ? -x : (x == 0.0 ? 0.0 : x);
}

/// Square root; correctly rounded by IEEE 754, so equal on every target.
inline double sqrt(double x) {
    return std::sqrt(x);
}

}  // namespace plenair::arithmetic

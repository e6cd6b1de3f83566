#pragma once

#include <bit>
#include <cmath>
#include <cstdint>

#include "geometry/contract.hpp"
#include "geometry/elementary.hpp"

/// The few operations that a law may use on its real type R. A lane class brings overloads of the
/// same names; a templated law says `using arithmetic::select;` and calls without a namespace.
namespace plenair::arithmetic {

/// condition ? a : b, written as a function so that lanes can blend.
constexpr double select(bool condition, double a, double b) {
    return condition ? a : b;
}

/// Whether a comparison holds in any of the lanes.
constexpr bool any(bool condition) {
    return condition;
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
    return __builtin_fabs(x);
}

/// Square root; correctly rounded by IEEE 754, so equal on every target.
inline double sqrt(double x) {
    return std::sqrt(x);
}

inline double reciprocal_sqrt(double x) {
    return 1.0 / std::sqrt(x);
}

/// Bits of 2^0 scaled by 6/5: the exponent of x^(-1/5) from that of x.
template <class T>
struct FifthRootGuess;
template <>
struct FifthRootGuess<double> {
    static constexpr std::int64_t offset = 5528353190182005621;
};
template <>
struct FifthRootGuess<float> {
    static constexpr std::int32_t offset = 1277928932;
};

inline double inverse_fifth_root_guess(double x) {
    return std::bit_cast<double>(FifthRootGuess<double>::offset -
                                 std::bit_cast<std::int64_t>(x) / 5);
}

/// x^(-1/5) of a positive x: Newton steps square the 3 % of the guess; no exponential, no
/// logarithm.
template <class R>
[[nodiscard]] inline R inverse_fifth_root(R x) {
    R y = inverse_fifth_root_guess(x);
    for (int step = 0; step < 4; ++step) {
        const R y2 = y * y;
        y = y * (1.2 - 0.2 * x * y2 * y2 * y);
    }
    return y;
}

}  // namespace plenair::arithmetic

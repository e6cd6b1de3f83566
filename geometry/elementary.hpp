#pragma once

#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>

/// exp, log, pow, sin, cos, tan, asin from + - * / sqrt and bit patterns only, so that every
/// compiler and processor gives the same bits (with -ffp-contract=off). Error below 2 units in the
/// last place. No branches on values.
///
/// Polynomial coefficients and reductions after fdlibm 5.3, whose notice is kept:
///   Copyright (C) 1993 by Sun Microsystems, Inc. All rights reserved. Permission to use, copy,
///   modify, and distribute this software is freely granted, provided that this notice is
///   preserved.
namespace plenair::arithmetic {

namespace detail {

inline constexpr double ln2_high = 6.93147180369123816490e-01;  // 32 bits: k * ln2_high is exact
inline constexpr double ln2_low = 1.90821492927058770002e-10;

/// A sum of two doubles that carries about 100 bits.
struct Pair {
    double high, low;
};

constexpr Pair two_sum(double a, double b) {
    const double sum = a + b;
    const double part = sum - a;
    return {sum, (a - (sum - part)) + (b - part)};
}

/// Exact product (Dekker 1971); |a|, |b| below 1e290.
constexpr Pair two_product(double a, double b) {
    constexpr double splitter = 134217729.0;  // 2^27 + 1
    const double product = a * b;
    const double ca = splitter * a;
    const double ah = ca - (ca - a);
    const double al = a - ah;
    const double cb = splitter * b;
    const double bh = cb - (cb - b);
    const double bl = b - bh;
    return {product, ((ah * bh - product) + ah * bl + al * bh) + al * bl};
}

/// Nearest integer of |x| < 2^31 as a double and as an integer, by the rounding of an addition.
struct Rounded {
    double value;
    std::int64_t integer;
};

constexpr Rounded round_nearest(double x) {
    constexpr double magic = 6755399441055744.0;  // 1.5 * 2^52
    const double shifted = x + magic;
    const std::uint64_t bits =
        std::bit_cast<std::uint64_t>(shifted) - std::bit_cast<std::uint64_t>(magic);
    return {shifted - magic, static_cast<std::int64_t>(bits)};
}

/// 2^k for -1022 <= k <= 1023.
constexpr double power_of_two(std::int64_t k) {
    return std::bit_cast<double>(static_cast<std::uint64_t>(k + 1023) << 52U);
}

/// exp(x + tail) for a tail below one unit of x.
constexpr double exp_pair(double x, double tail) {
    const double low_cut = x < -746.0 ? -746.0 : x;
    const double cut = low_cut > 710.0 ? 710.0 : low_cut;
    const Rounded k = round_nearest(cut * 1.44269504088896338700e+00);
    const double high = cut - k.value * ln2_high;
    const double low = k.value * ln2_low - (cut == x ? tail : 0.0);
    const double r = high - low;
    const double t = r * r;
    const double c =
        r - t * (1.66666666666666019037e-01 +
                 t * (-2.77777777770155933842e-03 +
                      t * (6.61375632143793436117e-05 +
                           t * (-1.65339022054652515390e-06 + t * 4.13813679705723846039e-08))));
    const double y = 1.0 - ((low - (r * c) / (2.0 - c)) - high);
    const std::int64_t half = k.integer / 2;  // two factors: results reach into the subnormals
    const std::int64_t safe = half > 512 ? 512 : (half < -538 ? -538 : half);
    const std::int64_t rest = k.integer - half;
    const std::int64_t safe_rest = rest > 512 ? 512 : (rest < -538 ? -538 : rest);
    return y * power_of_two(safe) * power_of_two(safe_rest);
}

/// x = 2^k m with m in [sqrt(1/2), sqrt(2)].
struct Split {
    double exponent, mantissa;
};

constexpr Split split(double x) {
    const bool tiny = x < std::numeric_limits<double>::min();
    const double scaled = tiny ? x * 18014398509481984.0 : x;  // 2^54
    constexpr std::uint64_t root_half = 0x3fe6a09e00000000U;
    const std::uint64_t bits =
        std::bit_cast<std::uint64_t>(scaled) + (0x3ff0000000000000U - root_half);
    const auto exponent = static_cast<double>(static_cast<std::int64_t>(bits >> 52U) - 1023);
    const double mantissa = std::bit_cast<double>((bits & 0x000fffffffffffffU) + root_half);
    return {tiny ? exponent - 54.0 : exponent, mantissa};
}

/// Value of log where x is zero, negative, infinite or not a number, else `value`.
constexpr double log_special(double x, double value) {
    constexpr double infinity = std::numeric_limits<double>::infinity();
    const double positive = x == infinity ? infinity : value;
    const double known = x == 0.0 ? -infinity : positive;
    return x >= 0.0 ? known : std::numeric_limits<double>::quiet_NaN();
}

/// ln(x) to about 64 bits, x > 0: ln m = (2/3) s (3 + z + 3 z^2 (1/5 + z/7 + ... + z^11/27)),
/// z = s^2, s = (m - 1)/(m + 1).
constexpr Pair log_pair(double x) {
    const Split parts = split(x);
    const double f = parts.mantissa - 1.0;
    const Pair denominator = two_sum(2.0, f);
    const double s = f / denominator.high;
    const Pair back = two_product(s, denominator.high);
    const double s_low = (((f - back.high) - back.low) - s * denominator.low) / denominator.high;
    const Pair square = two_product(s, s);
    const double z = square.high;
    double series = 1.0 / 27.0;
    for (int n = 25; n >= 5; n -= 2) series = series * z + 1.0 / n;
    const Pair bracket = two_sum(3.0, z);
    const double bracket_low = bracket.low + square.low + 2.0 * s * s_low + 3.0 * z * z * series;
    const Pair product = two_product(s, bracket.high);
    const double product_low = product.low + s * bracket_low + s_low * bracket.high;
    constexpr double two_thirds = 6.666666666666666297e-01;
    constexpr double two_thirds_low = 3.700743415417188e-17;
    const Pair scaled = two_product(product.high, two_thirds);
    const double scaled_low = scaled.low + product.high * two_thirds_low + product_low * two_thirds;
    const Pair sum = two_sum(parts.exponent * ln2_high, scaled.high);
    return two_sum(sum.high, sum.low + (scaled_low + parts.exponent * ln2_low));
}

constexpr double sin_kernel(double x, double tail) {
    const double z = x * x;
    const double w = z * z;
    const double r = 8.33333333332248946124e-03 +
                     z * (-1.98412698298579493134e-04 + z * 2.75573137070700676789e-06) +
                     z * w * (-2.50507602534068634195e-08 + z * 1.58969099521155010221e-10);
    const double v = z * x;
    return x - ((z * (0.5 * tail - v * r) - tail) - v * -1.66666666666666324348e-01);
}

constexpr double cos_kernel(double x, double tail) {
    const double z = x * x;
    const double w = z * z;
    const double r = z * (4.16666666666666019037e-02 +
                          z * (-1.38888888888741095749e-03 + z * 2.48015872894767294178e-05)) +
                     w * w *
                         (-2.75573143513906633035e-07 +
                          z * (2.08757232129817482790e-09 + z * -1.13596475577881948265e-11));
    const double half = 0.5 * z;
    const double lead = 1.0 - half;
    return lead + (((1.0 - lead) - half) + (z * r - x * tail));
}

/// sin of x + quarter_turns * pi/2; |x| below 1.6e6 (2^20 quarter turns).
constexpr double sin_quarter(double x, std::int64_t quarter_turns) {
    const Rounded k = round_nearest(x * 6.36619772367581382433e-01);
    const double first = x - k.value * 1.57079632673412561417e+00;
    const Pair second = two_sum(first, -(k.value * 6.07710050630396597660e-11));
    const double rest = second.low - k.value * 2.02226624879595063154e-21;
    const double y = second.high + rest;
    const double tail = (second.high - y) + rest;
    const auto quadrant = static_cast<std::uint64_t>(k.integer + quarter_turns);
    const double sine = sin_kernel(y, tail);
    const double cosine = cos_kernel(y, tail);
    const double value = (quadrant & 1U) != 0 ? cosine : sine;
    return (quadrant & 2U) != 0 ? -value : value;
}

}  // namespace detail

/// e^x; overflows to infinity above 709.78, to zero below -745.2.
constexpr double exp(double x) {
    return detail::exp_pair(x, 0.0);
}

/// Natural logarithm; -infinity at 0, not a number below.
constexpr double log(double x) {
    const detail::Split parts = detail::split(x);
    const double f = parts.mantissa - 1.0;
    const double half_square = 0.5 * f * f;
    const double s = f / (2.0 + f);
    const double z = s * s;
    const double w = z * z;
    const double even = w * (3.999999999940941908e-01 +
                             w * (2.222219843214978396e-01 + w * 1.531383769920937332e-01));
    const double odd = z * (6.666666666666735130e-01 +
                            w * (2.857142874366239149e-01 +
                                 w * (1.818357216161805012e-01 + w * 1.479819860511658591e-01)));
    const double value = s * (half_square + (odd + even)) + parts.exponent * detail::ln2_low -
                         half_square + f + parts.exponent * detail::ln2_high;
    return detail::log_special(x, value);
}

/// x^y for x >= 0 (not a number below), |y| < 1e290; 0^0 = 1.
constexpr double pow(double x, double y) {
    constexpr double infinity = std::numeric_limits<double>::infinity();
    const detail::Pair logarithm = detail::log_pair(x);
    const detail::Pair product = detail::two_product(y, logarithm.high);
    const double value = detail::exp_pair(product.high, product.low + y * logarithm.low);
    const double at_zero = y > 0.0 ? 0.0 : infinity;
    const double at_infinity = y > 0.0 ? infinity : 0.0;
    const double known = x == 0.0 ? at_zero : (x == infinity ? at_infinity : value);
    const double positive = y == 0.0 ? 1.0 : known;
    return x >= 0.0 ? positive : std::numeric_limits<double>::quiet_NaN();
}

/// Sine; |x| below 1.6e6 rad.
constexpr double sin(double x) {
    return detail::sin_quarter(x, 0);
}

/// Cosine; |x| below 1.6e6 rad.
constexpr double cos(double x) {
    return detail::sin_quarter(x, 1);
}

/// Tangent; |x| below 1.6e6 rad.
constexpr double tan(double x) {
    return sin(x) / cos(x);
}

/// Arcsine of |x| <= 1, else not a number.
inline double asin(double x) {
    constexpr double half_turn = 1.57079632679489655800e+00;
    constexpr double half_turn_low = 6.12323399573676603587e-17;
    const double size = x < 0.0 ? -x : x;
    const bool inner = size < 0.5;
    const double t = inner ? x * x : 0.5 * (1.0 - size);
    const double p =
        t * (1.66666666666666657415e-01 +
             t * (-3.25565818622400915405e-01 +
                  t * (2.01212532134862925881e-01 +
                       t * (-4.00555345006794114027e-02 +
                            t * (7.91534994289814532176e-04 + t * 3.47933107596021167570e-05)))));
    const double q =
        1.0 + t * (-2.40339491173441421878e+00 +
                   t * (2.02094576023350569471e+00 +
                        t * (-6.88283971605453293030e-01 + t * 7.70381505559019352791e-02)));
    const double ratio = p / q;
    if (inner) {
        return x + x * ratio;
    }
    // asin x = pi/2 - 2 asin sqrt((1 - x)/2), the root s in two parts.
    const double s = std::sqrt(t);
    const double high =
        std::bit_cast<double>(std::bit_cast<std::uint64_t>(s) & 0xffffffff00000000U);
    const double low = s > 0.0 ? (t - high * high) / (s + high) : 0.0;
    const double value = 0.5 * half_turn - ((2.0 * s * ratio - (half_turn_low - 2.0 * low)) -
                                            (0.5 * half_turn - 2.0 * high));
    return x < 0.0 ? -value : value;
}

}  // namespace plenair::arithmetic

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <random>

#include "solver/arithmetic/polynomial.hpp"
#include "solver/arithmetic/real.hpp"
#include "solver/arithmetic/table.hpp"
#include "tests/support/near.hpp"

namespace arithmetic = plenair::arithmetic;

namespace {

/// Distance from a longer reference in units of the last place of its double.
double units(double value, long double reference) {
    const double rounded = std::abs(static_cast<double>(reference));
    const double unit = std::nextafter(rounded, std::numeric_limits<double>::infinity()) - rounded;
    return static_cast<double>(std::abs(static_cast<long double>(value) - reference) / unit);
}

template <class Own, class Reference>
double worst(Own&& own, Reference&& reference, double low, double high) {
    std::mt19937_64 generator(20240501);
    std::uniform_real_distribution<double> uniform(low, high);
    double most = 0;
    for (int i = 0; i < 50000; ++i) {
        const double x = uniform(generator);
        most = std::max(most, units(own(x), reference(static_cast<long double>(x))));
    }
    return most;
}

}  // namespace

TEST_CASE("arithmetic: exp is within 2 units of the last place") {
    const auto reference = [](long double x) { return std::exp(x); };
    CHECK(worst([](double x) { return arithmetic::exp(x); }, reference, -700, 700) < 2.0);
    CHECK(worst([](double x) { return arithmetic::exp(x); }, reference, -1, 1) < 2.0);
}

TEST_CASE("arithmetic: log is within 2 units of the last place") {
    const auto reference = [](long double x) { return std::log(x); };
    CHECK(worst([](double x) { return arithmetic::log(x); }, reference, 1e-6, 2.5) < 2.0);
    CHECK(worst([](double x) { return arithmetic::log(x); }, reference, 1, 1e12) < 2.0);
}

TEST_CASE("arithmetic: pow is within 2 units of the last place, also where the result is huge") {
    for (const double y : {-0.2, 2.0 / 7.0, 0.55, 0.8, 1.4, 3.5, 40.0}) {
        const auto own = [y](double x) { return arithmetic::pow(x, y); };
        const auto reference = [y](long double x) {
            return std::pow(x, static_cast<long double>(y));
        };
        CHECK(worst(own, reference, 1e-3, 3.0) < 2.0);
        CHECK(worst(own, reference, 1.0, 4e7) < 2.0);
    }
    const auto own = [](double x) { return arithmetic::pow(x, 2000.0); };
    const auto reference = [](long double x) { return std::pow(x, 2000.0L); };
    CHECK(worst(own, reference, 0.71, 1.41) < 2.0);
}

TEST_CASE("arithmetic: sin and cos are within 2 units of the last place") {
    const auto sine = [](double x) { return arithmetic::sin(x); };
    const auto cosine = [](double x) { return arithmetic::cos(x); };
    const auto long_sine = [](long double x) { return std::sin(x); };
    const auto long_cosine = [](long double x) { return std::cos(x); };
    for (const double range : {1.0, 20.0, 1e6}) {
        CHECK(worst(sine, long_sine, -range, range) < 2.0);
        CHECK(worst(cosine, long_cosine, -range, range) < 2.0);
    }
}

TEST_CASE("arithmetic: asin is within 2 units of the last place, tan within 3") {
    const auto arcsine = [](double x) { return arithmetic::asin(x); };
    const auto long_arcsine = [](long double x) { return std::asin(x); };
    for (const double range : {1e-3, 0.5, 1.0}) {
        CHECK(worst(arcsine, long_arcsine, -range, range) < 2.0);
    }
    CHECK(worst(arcsine, long_arcsine, 0.97, 1.0) < 2.0);
    CHECK(arithmetic::asin(1.0) == std::asin(1.0));
    CHECK(arithmetic::asin(-1.0) == -std::asin(1.0));
    CHECK(std::isnan(arithmetic::asin(1.1)));
    // A quotient of two roundings below 2 units each, and its own.
    const auto tangent = [](double x) { return arithmetic::tan(x); };
    CHECK(worst(
              tangent, [](long double x) { return std::tan(x); }, -1.5, 1.5) < 3.0);
}

TEST_CASE("arithmetic: functions meet their limits") {
    constexpr double infinity = std::numeric_limits<double>::infinity();
    CHECK(arithmetic::exp(0.0) == 1.0);
    CHECK(arithmetic::exp(1e4) == infinity);
    CHECK(arithmetic::exp(-1e4) == 0.0);
    CHECK(arithmetic::exp(infinity) == infinity);
    CHECK(std::isnan(arithmetic::exp(std::nan(""))));
    CHECK(arithmetic::log(1.0) == 0.0);
    CHECK(arithmetic::log(0.0) == -infinity);
    CHECK(arithmetic::log(infinity) == infinity);
    CHECK(std::isnan(arithmetic::log(-1.0)));
    CHECK(units(arithmetic::log(5e-320), std::log(static_cast<long double>(5e-320))) < 2.0);
    CHECK(arithmetic::pow(0.0, 0.4) == 0.0);
    CHECK(arithmetic::pow(0.0, -0.4) == infinity);
    CHECK(arithmetic::pow(0.0, 0.0) == 1.0);
    CHECK(arithmetic::pow(infinity, 0.5) == infinity);
    CHECK(arithmetic::pow(infinity, -0.5) == 0.0);
    CHECK(arithmetic::pow(3.0, 2.0) == 9.0);
    CHECK(std::isnan(arithmetic::pow(-1.0, 0.5)));
    CHECK(std::isnan(arithmetic::pow(std::nan(""), 0.5)));
    CHECK(arithmetic::sin(0.0) == 0.0);
    CHECK(arithmetic::cos(0.0) == 1.0);
}

TEST_CASE("arithmetic: the same bits on every compiler and processor") {
    std::uint64_t hash = 14695981039346656037U;  // FNV-1a
    const auto take = [&hash](double value) {
        hash = (hash ^ std::bit_cast<std::uint64_t>(value)) * 1099511628211U;
    };
    for (int i = 1; i < 20000; ++i) {
        const double x = 0.00137 * i;
        take(arithmetic::exp(x - 14.0));
        take(arithmetic::log(x));
        take(arithmetic::pow(x, 0.7 - 0.05 * x));
        take(arithmetic::sin(100.0 * x));
        take(arithmetic::cos(100.0 * x));
    }
    CHECK(hash == 243799971534895513U);
}

TEST_CASE("arithmetic: a fitted polynomial and its slope reproduce a polynomial") {
    const auto cubic = [](double x) { return 2.0 - x + 0.5 * x * x * x; };
    const auto fit = arithmetic::fit_chebyshev<5>(cubic, 1.0, 4.0);
    for (const double x : {1.0, 1.7, 2.5, 4.0}) {
        CHECK(fit(x) == near(cubic(x), 1e-13));
        CHECK(fit.slope(x) == near(-1.0 + 1.5 * x * x, 1e-12));
    }
}

TEST_CASE("arithmetic: smooth tables pass through their points and reproduce a parabola") {
    constexpr std::array<double, 5> at = {0.0, 0.5, 1.5, 2.0, 4.0};
    std::array<double, 5> value{};
    const auto parabola = [](double x) { return 1.0 + 2.0 * x - 0.3 * x * x; };
    for (std::size_t i = 0; i < at.size(); ++i) value[i] = parabola(at[i]);
    for (const double x : {0.0, 0.2, 0.5, 1.1, 1.9, 3.3, 4.0})
        CHECK(arithmetic::smooth_table(at, value, x) == near(parabola(x), 1e-14));
    CHECK(arithmetic::smooth_table(at, value, 9.0) == near(value[4], 1e-15));
    CHECK(arithmetic::linear_table(at, value, 1.0) == near(0.5 * (value[1] + value[2]), 1e-15));
    CHECK(arithmetic::linear_table(at, value, -1.0) == value[0]);
}

#include "cases/study/sobol_indices.hpp"
#include "cases/study/tolerance.hpp"
#include "tests/support/near.hpp"

#include <doctest/doctest.h>

#include <boost/math/distributions/binomial.hpp>
#include <cmath>
#include <numbers>
#include <vector>

using plenair::odds_of;
using plenair::study::sensitivity_indices;

TEST_CASE("indices: Ishigami's function has its known first and total indices") {
    // Ishigami T., Homma T. 1990, with a = 7, b = 0.1: closed forms of the variance.
    const double a = 7, b = 0.1, pi = std::numbers::pi;
    const double v1 = 0.5 * std::pow(1 + b * std::pow(pi, 4) / 5, 2);
    const double v2 = a * a / 8;
    const double v13 = b * b * std::pow(pi, 8) * 8 / 225;
    const double v = v1 + v2 + v13;
    const auto indices = sensitivity_indices(3, {{0}, {1}, {2}}, 16384, 1, [&](const auto& u) {
        const double x1 = pi * (2 * u[0] - 1), x2 = pi * (2 * u[1] - 1), x3 = pi * (2 * u[2] - 1);
        return std::sin(x1) + a * std::pow(std::sin(x2), 2) + b * std::pow(x3, 4) * std::sin(x1);
    });
    CHECK(indices.mean == near(a / 2, 1e-2));
    CHECK(indices.variance == near(v, 1e-2));
    CHECK(indices.first[0] == near(v1 / v, 0, 0.01));
    CHECK(indices.first[1] == near(v2 / v, 0, 0.01));
    CHECK(indices.first[2] == near(0, 0, 0.01));
    CHECK(indices.total[0] == near((v1 + v13) / v, 0, 0.01));
    CHECK(indices.total[1] == near(v2 / v, 0, 0.01));
    CHECK(indices.total[2] == near(v13 / v, 0, 0.01));
}

TEST_CASE("indices: a product of independent factors has its closed form, also by groups") {
    // y = prod (1 + c_k (2 u_k - 1)): each factor has mean 1 and variance c_k^2/3.
    const std::vector<double> c = {0.9, 0.5, 0.2};
    std::vector<double> v;
    for (const double each : c) {
        v.push_back(each * each / 3);
    }
    const double all = (1 + v[0]) * (1 + v[1]) * (1 + v[2]) - 1;
    const auto value = [&](const std::vector<double>& u) {
        double product = 1;
        for (std::size_t k = 0; k < c.size(); ++k) {
            product *= 1 + c[k] * (2 * u[k] - 1);
        }
        return product;
    };
    const auto indices = sensitivity_indices(3, {{0}, {1}, {2}, {0, 1}}, 8192, 7, value);
    for (std::size_t k = 0; k < 3; ++k) {
        CAPTURE(k);
        CHECK(indices.first[k] == near(v[k] / all, 0, 5e-3));
        CHECK(indices.total[k] == near(v[k] * (1 + all) / (1 + v[k]) / all, 0, 5e-3));
    }
    CHECK(indices.first[3] == near(((1 + v[0]) * (1 + v[1]) - 1) / all, 0, 5e-3));
    CHECK(indices.total[3] == near(1 - v[2] / all, 0, 5e-3));
}

TEST_CASE("odds: the interval's ends leave 2.5 % of an exact binomial outside") {
    const auto odds = odds_of(180, 200);
    CHECK(odds.share == near(0.9, 1e-12));
    const auto above = [](double p, int k) {
        return 1 - boost::math::cdf(boost::math::binomial(200, p), k - 1);
    };
    CHECK(above(odds.low, 180) == near(0.025, 1e-6));
    CHECK(boost::math::cdf(boost::math::binomial(200, odds.high), 180) == near(0.025, 1e-6));
    CHECK(odds_of(0, 50).low == 0.0);
    CHECK(odds_of(50, 50).high == 1.0);
    // The rule of three: none of n fails, so at most about 3.7/n do.
    CHECK(odds_of(50, 50).low == near(std::pow(0.025, 1.0 / 50), 1e-9));
}

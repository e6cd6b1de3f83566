#include "solver/network/reconstruction.hpp"
#include "tests/support/near.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>
#include <vector>

/// What is carried with the flow: values at faces, and a front of it that goes round a ring.
namespace {

using Cells = std::vector<double>;

/// Rate of cells on a ring by a flow of one cell a unit of time, to the right.
template <class Face>
Cells rate(const Cells& y, Face&& face) {
    const std::size_t n = y.size();
    Cells out(n);
    for (std::size_t i = 0; i < n; ++i) {
        const auto at = [&](std::size_t k) { return y[(i + n + k - 2) % n]; };
        const double flux = face(at(0), at(1), at(2), at(3), at(4));
        out[i] -= flux;
        out[(i + 1) % n] += flux;
    }
    return out;
}

/// Third-order Runge-Kutta method of convex combinations (Shu and Osher 1988), `steps` of `length`.
template <class Face>
Cells carried(Cells y, int steps, double length, Face&& face) {
    for (int s = 0; s < steps; ++s) {
        Cells a = y;
        for (const auto& [keep, add] : {std::pair{0.0, 1.0}, {0.75, 0.25}, {1.0 / 3, 2.0 / 3}}) {
            const Cells r = rate(a, face);
            for (std::size_t i = 0; i < y.size(); ++i) {
                a[i] = keep * y[i] + add * (a[i] + length * r[i]);
            }
        }
        y = a;
    }
    return y;
}

double bounded(double a, double b, double c, double d, double e) {
    return plenair::reconstruction::bounded5(a, b, c, d, e);
}

}  // namespace

TEST_CASE(
    "faces: what is carried has its fifth-order value where it is smooth, and no new extreme") {
    // Means of cells of x^3 about cell 0.
    const auto cube = [](double i) { return (std::pow(i + 0.5, 4) - std::pow(i - 0.5, 4)) / 4; };
    CHECK(bounded(cube(8), cube(9), cube(10), cube(11), cube(12)) ==
          near(std::pow(10.5, 3), 1e-12));
    CHECK(bounded(0, 0, 0, 1, 1) == 0.0);
    CHECK(bounded(1, 1, 1, 0, 0) == 1.0);
    CHECK(bounded(0, 1, 0.5, 1, 0) == 0.5);
}

TEST_CASE(
    "faces: a front that went ten times round a ring of 100 cells is within bounds and steep") {
    Cells y(100, 0.0);
    std::fill(y.begin() + 30, y.begin() + 70, 1.0);
    const Cells after = carried(y, 4000, 0.25, bounded);
    double off = 0;
    for (std::size_t i = 0; i < y.size(); ++i) {
        CHECK(after[i] >= -1e-12);
        CHECK(after[i] <= 1 + 1e-12);
        off += std::abs(after[i] - y[i]);
    }
    // From the mean alone, as of first order, both fronts are some sixty cells wide.
    const Cells first =
        carried(y, 4000, 0.25, [](double, double, double c, double, double) { return c; });
    double off_first = 0;
    for (std::size_t i = 0; i < y.size(); ++i) {
        off_first += std::abs(first[i] - y[i]);
    }
    CHECK(off < 5);
    CHECK(off_first > 6 * off);
}

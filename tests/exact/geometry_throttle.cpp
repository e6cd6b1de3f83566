#include <doctest/doctest.h>

#include "geometry/intake.hpp"
#include "geometry/quantity.hpp"
#include "tests/support/near.hpp"

#include <array>
#include <cmath>
#include <numbers>

// Elliptic plate with shaft seen along the bore: geometry as in Harrington and Bolt 1970, the
// formula derived anew and its values from an independent program.

using namespace plenair::geometry;

namespace {

double deg(double value) {
    return from_unit(value, "deg");
}

double mm2(double value) {
    return from_unit(value, "mm2");
}

/// A throttle of 57 mm bore and 10.4 mm shaft, closed at 10 deg: textbook dimensions, from memory.
Throttle textbook_throttle() {
    Throttle throttle;
    throttle.bore = 0.057;
    throttle.shaft = 0.0104;
    throttle.closed_angle = deg(10);
    throttle.cd = 0.8;
    return throttle;
}

/// Open area by counting: a vertical cut at a time, outside both the plate's ellipse and the shaft.
double counted_area(const Throttle& throttle, double angle) {
    const double radius = 0.5 * throttle.bore;
    const double r = std::cos(angle) / std::cos(throttle.closed_angle);
    const int cuts = 200000;
    double sum = 0;
    for (int i = 0; i < cuts; ++i) {
        const double x = radius * (-1 + (i + 0.5) * 2.0 / cuts);
        const double bore = std::sqrt(radius * radius - x * x);
        const double covered = std::max(std::min(0.5 * throttle.shaft, bore), r * bore);
        sum += 2 * (bore - covered) * 2 * radius / cuts;
    }
    return sum;
}

}  // namespace

TEST_CASE("throttle: open area is that of an ellipse and a strip seen along the bore") {
    // Computed from the closed form by an independent program; two decimals or five digits printed.
    const std::array<std::array<double, 2>, 10> table{{{15, 48.79},
                                                       {20, 116.57},
                                                       {30, 306.80},
                                                       {40, 564.67},
                                                       {45, 716.42},
                                                       {50, 881.71},
                                                       {60, 1246.5},
                                                       {70, 1640.3},
                                                       {75, 1832.6},
                                                       {85, 1962.3}}};
    const auto throttle = textbook_throttle();
    for (const auto& [angle, area] : table) {
        const auto captured_angle = angle;
        CAPTURE(captured_angle);
        CHECK(throttle.open_area(deg(angle)) == near(mm2(area), 1e-5, area > 1000 ? 5e-8 : 5e-9));
    }
}

TEST_CASE("throttle: open area agrees with a count of the uncovered cuts") {
    const auto throttle = textbook_throttle();
    for (const double angle : {12.0, 30.0, 55.0, 75.0, 79.0, 88.0}) {
        const auto captured_angle = angle;
        CAPTURE(captured_angle);
        CHECK(throttle.open_area(deg(angle)) == near(counted_area(throttle, deg(angle)), 1e-6));
    }
}

TEST_CASE("throttle: open area is continuous where the plate hides behind the shaft") {
    const auto throttle = textbook_throttle();
    const double hidden =
        std::acos(throttle.shaft / throttle.bore * std::cos(throttle.closed_angle));
    CHECK(hidden == near(deg(79.65), 1e-4));
    CHECK(throttle.open_area(hidden - 1e-7) == near(throttle.wide_open_area(), 1e-8));
    CHECK(throttle.open_area(hidden + 1e-7) == throttle.wide_open_area());
    CHECK(throttle.wide_open_area() / throttle.bore_area() == near(0.7690, 1e-4));
}

TEST_CASE("throttle: closed at and below its stop, growing with the angle above it") {
    const auto throttle = textbook_throttle();
    CHECK(throttle.open_area(throttle.closed_angle) == near(0, 0, 1e-15));
    CHECK(throttle.open_area(deg(5)) == 0.0);
    double last = 0;
    for (int i = 11; i <= 79; ++i) {
        const double area = throttle.open_area(deg(i));
        CHECK(area > last);
        last = area;
    }
}

TEST_CASE("throttle: no shaft leaves the bore less the plate's ellipse") {
    auto throttle = textbook_throttle();
    throttle.shaft = 0;
    const double r = std::cos(deg(40)) / std::cos(deg(10));
    CHECK(throttle.open_area(deg(40)) == near((1 - r) * throttle.bore_area(), 1e-14));
    CHECK(throttle.wide_open_area() == throttle.bore_area());
}

TEST_CASE("throttle: effective area is the coefficient times the area it refers to") {
    auto throttle = textbook_throttle();
    CHECK(throttle.effective_area(deg(30)) == near(0.8 * throttle.open_area(deg(30)), 1e-15));
    CHECK(throttle.effective_area(std::nullopt) == near(0.8 * throttle.wide_open_area(), 1e-15));
    throttle.cd_area = CdArea::bore;
    CHECK(throttle.effective_area(deg(30)) == near(0.8 * throttle.bore_area(), 1e-15));
    throttle.cd_table = CdTable{{deg(20), deg(40)}, {0.7, 0.9}};
    CHECK(throttle.effective_area(deg(30)) == near(0.8 * throttle.bore_area(), 1e-14));
    CHECK(throttle.effective_area(deg(10)) == near(0.7 * throttle.bore_area(), 1e-15));
    CHECK(throttle.effective_area(std::nullopt) == near(0.9 * throttle.bore_area(), 1e-15));
}

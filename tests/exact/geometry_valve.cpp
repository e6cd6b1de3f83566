#include <doctest/doctest.h>

#include "geometry/intake.hpp"
#include "geometry/quantity.hpp"
#include "tests/support/near.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

using namespace plenair::geometry;
using std::numbers::pi;

namespace {

double deg(double value) {
    return from_unit(value, "deg");
}

double mm2(double value) {
    return from_unit(value, "mm2");
}

/// Head 34, seat 1.5 x 45 deg, port 29.5, stem 6 mm.
Valve bench_valve() {
    Valve valve;
    valve.head = 0.034;
    valve.seat_width = 0.0015;
    valve.seat_angle = deg(45);
    valve.throat = 0.0295;
    valve.stem = 0.006;
    return valve;
}

/// Intake valves of a two-valve hill-climb head: events at 0.10 mm lift.
Valve timed_valve() {
    Valve valve = bench_valve();
    valve.count = 2;
    valve.lift = 0.0108;
    valve.checking_lift = 0.0001;
    valve.opens = 2 * pi - deg(28);
    valve.closes = 3 * pi + deg(64);
    valve.cd = {{0.05, 0.10, 0.15, 0.20, 0.25, 0.30}, {0.67, 0.66, 0.62, 0.56, 0.50, 0.44}};
    return valve;
}

double slope(const Valve& valve, double angle) {
    const double h = 1e-5;
    return (valve.lift_at(angle + h) - valve.lift_at(angle - h)) / (2 * h);
}

}  // namespace

TEST_CASE("valve: smallest geometric area follows the three pieces") {
    // Heywood 1988, eq. 6.7-6.12 (from memory); values by an independent program, two decimals
    // printed.
    const std::array<std::array<double, 2>, 8> table{{{0.5, 34.71},
                                                      {1, 69.98},
                                                      {2, 142.17},
                                                      {3, 216.59},
                                                      {4, 297.68},
                                                      {6, 484.31},
                                                      {7.74, 655.22},
                                                      {10, 655.22}}};
    const auto valve = bench_valve();
    for (const auto& [lift, area] : table) {
        const auto captured_lift = lift;
        CAPTURE(captured_lift);
        CHECK(valve.geometric_area(from_unit(lift, "mm")) == near(mm2(area), 1e-6, 5e-9));
    }
    CHECK(valve.geometric_area(0) == 0.0);
    CHECK(valve.geometric_area(-1e-3) == 0.0);
}

TEST_CASE("valve: geometric area has no step where its pieces join") {
    const auto valve = bench_valve();
    const double mean = valve.head - valve.seat_width;
    const double port = 0.25 * pi * (valve.throat * valve.throat - valve.stem * valve.stem);
    const double slant = port / (pi * mean);
    const double second = std::sqrt(slant * slant - valve.seat_width * valve.seat_width) +
                          valve.seat_width * std::tan(valve.seat_angle);
    const double first =
        valve.seat_width / (std::sin(valve.seat_angle) * std::cos(valve.seat_angle));
    CHECK(first == near(0.003, 1e-12));
    CHECK(second == near(0.007740, 1e-4));
    for (const double lift : {first, second}) {
        CHECK(valve.geometric_area(lift + 1e-10) == near(valve.geometric_area(lift - 1e-10), 1e-6));
    }
    CHECK(valve.geometric_area(second) == near(port, 1e-12));
}

TEST_CASE("valve: lift is the checking lift at the events and the full lift half-way") {
    const auto valve = timed_valve();
    const double middle = 0.5 * (valve.opens + valve.closes);
    CHECK(valve.lift_at(valve.opens) == near(0.0001, 1e-9));
    CHECK(valve.lift_at(valve.closes) == near(0.0001, 1e-9));
    CHECK(valve.lift_at(middle) == near(0.0108, 1e-14));
    for (double angle = valve.opens; angle <= valve.closes; angle += deg(1)) {
        CHECK(valve.lift_at(angle) <= valve.lift);
        CHECK(valve.lift_at(angle) == near(valve.lift_at(2 * middle - angle), 1e-9, 1e-12));
    }
}

TEST_CASE("valve: lift has no step and no kink at the events, the peak and the ends of the ramp") {
    const auto valve = timed_valve();
    const double middle = 0.5 * (valve.opens + valve.closes);
    for (const double angle :
         {valve.opens - deg(20), valve.opens, middle, valve.closes, valve.closes + deg(20)}) {
        CAPTURE(angle);
        CHECK(slope(valve, angle) == near(0, 0, 1e-9));
        CHECK(valve.lift_at(angle - 1e-9) == near(valve.lift_at(angle + 1e-9), 0, 1e-12));
    }
}

TEST_CASE("valve: shut outside the ramps, the same one cycle on, zero ramp without checking lift") {
    auto valve = timed_valve();
    CHECK(valve.lift_at(valve.opens - deg(20.01)) == 0.0);
    CHECK(valve.lift_at(valve.closes + deg(20.01)) == 0.0);
    CHECK(valve.lift_at(0) == 0.0);
    CHECK(valve.lift_at(valve.opens - deg(10)) == near(0.00005, 1e-9));
    for (const double angle :
         {valve.opens - deg(5), valve.opens + deg(50), valve.closes + deg(3)}) {
        CHECK(valve.lift_at(angle + 4 * pi) == near(valve.lift_at(angle), 1e-9));
        CHECK(valve.lift_at(angle - 8 * pi) == near(valve.lift_at(angle), 1e-9));
    }
    valve.checking_lift = 0;
    CHECK(valve.lift_at(valve.opens - deg(1)) == 0.0);
}

TEST_CASE("valve: an exhaust cam that spans the wrap of the cycle keeps its lift") {
    auto valve = timed_valve();
    valve.opens = pi - deg(66);
    valve.closes = 2 * pi + deg(24);
    const double middle = 0.5 * (valve.opens + valve.closes);
    CHECK(valve.lift_at(middle) == near(valve.lift, 1e-14));
    valve.opens += 3 * pi;
    valve.closes += 3 * pi;  // closes past 4 pi
    CHECK(valve.lift_at(middle + 3 * pi - 4 * pi) == near(valve.lift, 1e-9));
}

TEST_CASE("valve: a measured lift curve is followed between its points") {
    auto valve = timed_valve();
    valve.lift_angle = {0, deg(100), deg(200)};
    valve.lift_value = {0.0002, 0.009, 0.0002};
    CHECK(valve.lift_at(valve.opens + deg(50)) == near(0.0046, 1e-12));
    CHECK(valve.lift_at(valve.opens + deg(100)) == near(0.009, 1e-9));
    CHECK(valve.lift_at(valve.opens + deg(210)) == near(0.0001, 1e-9));
    CHECK(valve.lift_at(valve.opens + deg(221)) == 0.0);
}

TEST_CASE("valve: effective area is Cd times curtain area, never above the geometric area") {
    auto valve = timed_valve();
    valve.checking_lift = 0;
    const double middle = 0.5 * (valve.opens + valve.closes);
    const auto cd_at_peak = [&](double lift) {
        valve.lift = lift;
        return valve.effective_area(middle) / (2 * pi * valve.head * lift);
    };
    CHECK(cd_at_peak(0.125 * 0.034) == near(0.64, 1e-12));  // between 0.66 and 0.62
    CHECK(cd_at_peak(0.02 * 0.034) ==
          near(std::min(0.67, valve.geometric_area(0.02 * 0.034) / (pi * 0.034 * 0.02 * 0.034)),
               1e-12));
    CHECK(cd_at_peak(0.33 * 0.034) == near(0.44, 1e-12));  // last entry held
    valve.cd = {{0.0, 1.0}, {0.99, 0.99}};
    valve.lift = 0.012;
    CHECK(valve.effective_area(middle) == near(2 * mm2(655.22), 1e-5));
    CHECK(valve.effective_area(0) == 0.0);
}

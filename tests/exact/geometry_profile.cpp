#include <doctest/doctest.h>

#include "geometry/intake.hpp"
#include "geometry/profile.hpp"
#include "tests/support/near.hpp"

#include <numbers>
#include <stdexcept>

using namespace plenair::geometry;

TEST_CASE("profile: integral is exact for straight lines between stations") {
    const auto profile = Profile::stations({0.1, 0.2, 0.4}, {2, 4, 1});
    CHECK(profile.integral(0.1, 0.2) == near(0.3, 1e-14));
    CHECK(profile.integral(0.2, 0.4) == near(0.5, 1e-14));
    CHECK(profile.integral(0.15, 0.3) == near(0.175 + 0.325, 1e-14));
    CHECK(profile.integral(0.0, 0.1) == near(0.2, 1e-14));  // first value held before
    CHECK(profile.integral(0.4, 0.6) == near(0.2, 1e-14));  // last value held after
    CHECK(profile.integral(0.3, 0.15) == near(-0.5, 1e-14));
    CHECK(profile.mean(0.2, 0.4) == near(2.5, 1e-14));
    CHECK(profile.mean(0.3, 0.3) == near(2.5, 1e-14));
}

TEST_CASE("profile: value is linear between stations and held outside them") {
    const auto profile = Profile::linear(10, 20, 0.5);
    CHECK(profile.at(0.25) == near(15, 1e-15));
    CHECK(profile.at(-1) == 10.0);
    CHECK(profile.at(2) == 20.0);
    CHECK(profile.smallest() == 10.0);
    CHECK(profile.largest() == 20.0);
    const auto constant = Profile::constant(3);
    CHECK(constant.at(-5) == 3.0);
    CHECK(constant.integral(-1, 2) == near(9, 1e-15));
}

TEST_CASE("profile: stations that do not ascend, or that lack a value, are refused") {
    CHECK_THROWS_AS(Profile::stations({}, {}), std::invalid_argument);
    CHECK_THROWS_AS(Profile::stations({0, 1}, {1}), std::invalid_argument);
    CHECK_THROWS_AS(Profile::stations({0, 0}, {1, 2}), std::invalid_argument);
    CHECK_THROWS_AS(Profile::linear(1, 2, 0), std::invalid_argument);
    CHECK_THROWS_AS(Profile{}.at(0), std::logic_error);
}

TEST_CASE("runner: volume is that of the frustums, area follows the diameter") {
    Runner runner;
    runner.length = 0.260;
    runner.diameter = Profile::stations({0, 0.168, 0.260}, {0.046, 0.043, 0.041});
    const auto frustum = [](double l, double a, double b) {
        return std::numbers::pi / 12 * l * (a * a + a * b + b * b);
    };
    const double volume = frustum(0.168, 0.046, 0.043) + frustum(0.092, 0.043, 0.041);
    CHECK(runner.volume() == near(volume, 1e-14));
    CHECK(runner.area().integral(0, 0.260) == near(volume, 1e-6));  // 32 chords a stretch
    CHECK(runner.area().at(0.168) == near(0.25 * std::numbers::pi * 0.043 * 0.043, 1e-14));
    CHECK(runner.mouth_area() == near(0.25 * std::numbers::pi * 0.046 * 0.046, 1e-14));
    runner.length = 0.1;
    CHECK(runner.volume() == near(frustum(0.1, 0.046, runner.diameter.at(0.1)), 1e-14));
}

TEST_CASE("slot: area adds pieces of varying width and holes") {
    Slot slot;
    slot.pieces.push_back({0.006, 0.388, Profile::constant(0.006)});
    CHECK(slot.area() == near(2328e-6, 1e-14));
    slot.pieces.push_back({0.4, 0.1, Profile::stations({0.4, 0.5}, {0.004, 0.008})});
    slot.holes.push_back({0.6, 0.01, 78.5e-6, 0.01});
    CHECK(slot.area() == near(2328e-6 + 600e-6 + 78.5e-6, 1e-14));
}

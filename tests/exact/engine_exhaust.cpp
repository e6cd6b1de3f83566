#include "cases/file/read.hpp"
#include "geometry/error.hpp"
#include "solver/cylinder/crank_table.hpp"
#include "solver/ensemble/ensemble.hpp"
#include "solver/march/cycle.hpp"
#include "tests/support/engine.hpp"
#include "tests/support/near.hpp"
#include "tests/support/quick_four.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <functional>
#include <string>
#include <vector>

// Back pressure over crank angle: a table that says what the constant says is the constant; whose
// angles count from where; and what a pulse does where the valves overlap and where they do not.

namespace {

using namespace plenair;

constexpr double pi = std::numbers::pi;
constexpr double degree = pi / 180;

Case quick(const std::string& tables) {
    return parse_case(test::quick_four(test::two_points + tables, 1e-6), "four.toml", {});
}

PointResult solved(const Case& c, std::size_t point = 1) {
    PointResult r = solve_point(c.intake, c.engine, c.points[point], c.model, {});
    REQUIRE_MESSAGE(r.converged, r.failure);
    return r;
}

void check_same(const PointResult& a, const PointResult& b, double tolerance) {
    REQUIRE(a.cylinders.size() == b.cylinders.size());
    for (std::size_t i = 0; i < a.cylinders.size(); ++i) {
        CHECK(a.cylinders[i].air_trapped == near(b.cylinders[i].air_trapped, tolerance));
        CHECK(a.cylinders[i].residual_fraction ==
              near(b.cylinders[i].residual_fraction, 10 * tolerance));
    }
    CHECK(a.air_flow == near(b.air_flow, tolerance));
}

std::string refusal(const std::string& tables) {
    try {
        (void)quick(tables);
    } catch (const InputError& error) {
        return error.what();
    }
    return {};
}

/// 45 kPa more than the top point's 270 kPa about one angle [deg], within 60 deg.
std::string pulse(double at, const std::string& rest) {
    std::string angles, values;
    const auto add = [&](double angle, double value) {
        angles += (angles.empty() ? "" : ", ") + std::to_string(angle);
        values += (values.empty() ? "" : ", ") + std::to_string(value);
    };
    add(0, 270);
    add(at - 30, 270);
    add(at, 315);
    add(at + 30, 270);
    return "[[exhaust]]\n" + rest + "pressure = { angle = \"" + angles + " deg\", pressure = \"" +
           values + " kPa abs\" }\n";
}

}  // namespace

TEST_CASE("exhaust: a table of the constant is the constant, to the last bit, alone and in lanes") {
    const Case plain = quick("");
    const Case table = quick(R"([[exhaust]]
points = ["top"]
pressure = { angle = "10, 300, 650 deg", pressure = "270, 270, 270 kPa abs" }
)");
    REQUIRE(table.points[0].exhaust_tables.empty());
    REQUIRE(table.points[1].exhaust_tables.size() == 1);
    check_same(solved(table), solved(plain), 0);

    const auto in_lanes = [](const Case& c) {
        std::vector<OperatingPoint> points;
        for (const double pressure : {230e3, 240e3, 250e3, 260e3}) {
            points.push_back(c.points[1]);
            points.back().pressure = pressure;
        }
        std::vector<Variant> variants;
        for (const auto& point : points) {
            variants.push_back({&c.intake, &c.model, &c.engine, &point});
        }
        return solve_ensemble(variants, {});
    };
    const auto a = in_lanes(table);
    const auto b = in_lanes(plain);
    for (std::size_t i = 0; i < a.size(); ++i) {
        REQUIRE_MESSAGE(a[i].converged, a[i].failure);
        check_same(a[i], b[i], 0);
    }
}

TEST_CASE("exhaust: straight between the angles, periodic, each cylinder by its own reference") {
    const Case c = quick(R"([[exhaust]]
points = ["top"]
cylinders = [1, 4]
pressure = { angle = "90, 270, 630 deg", pressure = "200, 300, 260 kPa abs" }
[[exhaust]]
points = ["top"]
cylinders = [3]
angle_after = "own"
pressure = { angle = "90, 270, 630 deg", pressure = "200, 300, 260 kPa abs" }
)");
    const auto at = [&](int cylinder, double angle) {
        return exhaust_pressure(
            c.engine, c.points[1], cylinder, c.engine.firing_angle(1) + angle * degree);
    };
    CHECK(at(1, 90) == near(200e3, 1e-12));
    CHECK(at(1, 180) == near(250e3, 1e-12));
    CHECK(at(1, 450) == near(280e3, 1e-12));
    // From 630 over 720 to 90 deg: 60 kPa in 180 deg.
    CHECK(at(1, 720) == near(230e3, 1e-12));
    CHECK(at(1, 0) == near(230e3, 1e-12));
    CHECK(at(1, 30) == near(220e3, 1e-12));
    CHECK(at(4, 30) == near(220e3, 1e-12));
    CHECK(at(2, 30) == near(270e3, 1e-12));
    const double after = (c.engine.firing_angle(3) - c.engine.firing_angle(1)) / degree;
    CHECK(at(3, after + 30) == near(220e3, 1e-12));
    CHECK(at(3, after + 450) == near(280e3, 1e-12));
}

TEST_CASE("exhaust: a pulse while the valves overlap raises the residual, and air falls") {
    const PointResult plain = solved(quick(""));
    const std::string own = "points = [\"top\"]\nangle_after = \"own\"\n";
    const PointResult overlap = solved(quick(pulse(355, own)));
    for (std::size_t i = 0; i < 4; ++i) {
        CHECK(overlap.cylinders[i].residual_fraction >
              plain.cylinders[i].residual_fraction + 0.002);
        CHECK(overlap.cylinders[i].air_trapped < plain.cylinders[i].air_trapped);
    }
    // Both valves of every cylinder are shut on the compression stroke: nothing sees it.
    check_same(solved(quick(pulse(640, own))), plain, 0);
    // The same pulse behind one pipe of two cylinders, in the engine's angles, is nobody else's.
    const PointResult pair = solved(quick(pulse(355, "points = [\"top\"]\ncylinders = [1]\n")));
    CHECK(pair.cylinders[0].residual_fraction > plain.cylinders[0].residual_fraction + 0.002);
    for (std::size_t i = 1; i < 4; ++i) {
        CHECK(std::abs(pair.cylinders[i].residual_fraction - plain.cylinders[i].residual_fraction) <
              0.001);
    }
}

TEST_CASE("exhaust: own angles are those of the engine less each cylinder's firing angle") {
    const std::string own = "points = [\"top\"]\nangle_after = \"own\"\n";
    const PointResult one = solved(quick(pulse(300, own)));
    std::string tables;
    const Case plain = quick("");
    for (int k = 1; k <= 4; ++k) {
        const double firing =
            (plain.engine.firing_angle(k) - plain.engine.firing_angle(1)) / degree;
        const double at = std::fmod(300 + firing + 720, 720.0);
        std::string table =
            pulse(at, "points = [\"top\"]\ncylinders = [" + std::to_string(k) + "]\n");
        tables += table;
    }
    check_same(solved(quick(tables)), one, 1e-9);
}

TEST_CASE("exhaust: tables that cannot be are refused with their place and remedy") {
    const std::string good =
        "pressure = { angle = \"0, 300 deg\", pressure = \"250, 270 kPa abs\" }\n";
    CHECK(has(refusal("[[exhaust]]\npoints = [\"tip\"]\n" + good), "did you mean \"top\"?"));
    CHECK(has(refusal("[[exhaust]]\ncylinders = [5]\n" + good), "cylinder 5 of 4"));
    CHECK(has(refusal("[[exhaust]]\n" + good + "[[exhaust]]\ncylinders = [2]\n" + good),
              "give each cylinder one table a point"));
    CHECK(has(refusal("[[exhaust]]\npressure = { angle = \"0, 300, 720 deg\", pressure = \"250, "
                      "270, 250 kPa abs\" }\n"),
              "leave it out"));
    CHECK(has(refusal("[[exhaust]]\npressure = { angle = \"0 deg\", pressure = \"250 kPa abs\" "
                      "}\n"),
              "give two at least"));
    CHECK(has(refusal("[[exhaust]]\npressure = { angle = \"0, 300 deg\", pressure = \"250, 2700 "
                      "kPa abs\" }\n"),
              "row 2"));
}

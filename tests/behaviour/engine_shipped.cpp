#include <doctest/doctest.h>

#include "cases/study/solve.hpp"
#include "tests/support/engine.hpp"
#include "tests/support/near.hpp"

#include <string>

// What the shipped engines are expected to do: hand sums of their air flow and loss, and the sign
// reversal that their firing order brings (common practice).
using namespace plenair;

namespace {

const PointResult& result_of(const SolveResult& r, const std::string& name) {
    return *std::find_if(
        r.points.begin(), r.points.end(), [&](const auto& p) { return p.name == name; });
}

}  // namespace

TEST_CASE("hill-climb four: air, volumetric efficiency and slot loss at 8600 rpm") {
    const PointResult r = test::solve_named(test::shipped(test::hill_climb), "A4");
    REQUIRE_MESSAGE(r.converged, r.failure);
    CHECK(r.air_flow == near(0.3525, 0.0, 0.0175));  // 335 to 370 g/s
    CHECK(r.volumetric_efficiency == near(1.015, 0.0, 0.065));  // 0.95 to 1.08
    // The hand sum is of steady flow; pulses add up to 1 + 3/2 of it (a flow that stops once a
    // period, weighted with itself).
    CHECK(r.slot_loss > 5500.0);
    CHECK(r.slot_loss < 2.5 * 5500.0);
    test::record("Hill-climb four at 8600 rpm, air [kg/s]",
                 "Hand sum, VE 1.01 assumed",
                 r.air_flow,
                 0.3505,
                 "0.335 to 0.370");
    test::record("Hill-climb four at 8600 rpm, slot loss [Pa]",
                 "Hand sum",
                 r.slot_loss,
                 5500.0,
                 "1 to 2.5 times: steady flow");
}

TEST_CASE("shipped engines: every point converges within 30 cycles with sound figures") {
    for (const auto& name : {test::hill_climb, test::marine_log, test::v6_bank}) {
        const Case c = test::shipped(name);
        for (const auto& point : c.points) {
            CAPTURE(name);
            CAPTURE(point.name);
            const PointResult r = solve_point(c.intake, c.engine, point, c.model, {});
            REQUIRE_MESSAGE(r.converged, r.failure);
            CHECK(r.cycles <= 30);
            CHECK(r.throttle_loss > 0.0);
            CHECK(r.spread > 0.0);
            CHECK(r.spread < 0.25);
            for (const auto& cylinder : r.cylinders) {
                CHECK(cylinder.residual_fraction > 0.005);
                CHECK(cylinder.residual_fraction < 0.15);
            }
        }
    }
}

TEST_CASE("marine six: cylinder 6 changes sign between cruise and fast cruise, and it is said") {
    const Case c = test::shipped(test::marine_log);
    const SolveResult r = solve(c, {});
    const PointResult& slow = result_of(r, "B1");
    const PointResult& fast = result_of(r, "B2");
    REQUIRE(slow.converged);
    REQUIRE(fast.converged);
    CHECK(slow.cylinders[5].bias > 0.0);
    CHECK(fast.cylinders[5].bias < 0.0);
    const auto reversal = r.summary.find("end bias reverses");
    REQUIRE(reversal != std::string::npos);
    CHECK(r.summary.find("between 2200 and 3600 rpm", reversal) != std::string::npos);
}

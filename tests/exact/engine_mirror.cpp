#include <doctest/doctest.h>

#include "solver/march/steady.hpp"
#include "tests/support/engine.hpp"
#include "tests/support/near.hpp"

using namespace plenair;

namespace {

/// Biases may move with the periodic residual, so the residual is driven far below what the mirror
/// is tested to.
constexpr double tight = 1e-9;

/// Solves each point with the orders 1-2-3 and 1-3-2 and compares cylinder by mirrored cylinder.
void check_mirrored(Case c) {
    c.model.tolerance = tight;
    c.model.max_cycles = 200;
    for (const auto& point : c.points) {
        CAPTURE(point.name);
        c.engine.firing_order = {1, 2, 3};
        const PointResult a = solve_point(c.intake, c.engine, point, c.model, {});
        c.engine.firing_order = {1, 3, 2};
        const PointResult b = solve_point(c.intake, c.engine, point, c.model, {});
        REQUIRE_MESSAGE(a.converged, a.failure);
        REQUIRE_MESSAGE(b.converged, b.failure);
        CHECK(a.cylinders[0].share == near(b.cylinders[2].share, 1e-6));
        CHECK(a.cylinders[1].share == near(b.cylinders[1].share, 1e-6));
        CHECK(a.cylinders[2].share == near(b.cylinders[0].share, 1e-6));
        CHECK(a.air_flow == near(b.air_flow, 1e-6));
    }
}

}  // namespace

// Mirroring the metal of a symmetric bank turns the order 1-2-3 into 3-2-1, which is 1-3-2 one
// firing later.
TEST_CASE("mirror: the V6 bank with the order reversed swaps cylinders 1 and 3") {
    check_mirrored(test::shipped(test::v6_bank));
}

TEST_CASE("mirror: the V6 bank fired 3-2-1 is the bank fired 1-2-3 seen from the other end") {
    Case c = test::shipped(test::v6_bank);
    c.model.tolerance = tight;
    for (const auto& point : c.points) {
        c.engine.firing_order = {1, 2, 3};
        const PointResult a = solve_point(c.intake, c.engine, point, c.model, {});
        c.engine.firing_order = {3, 2, 1};
        const PointResult b = solve_point(c.intake, c.engine, point, c.model, {});
        REQUIRE_MESSAGE(a.converged, a.failure);
        REQUIRE_MESSAGE(b.converged, b.failure);
        for (std::size_t i = 0; i < 3; ++i) {
            CHECK(a.cylinders[i].share == near(b.cylinders[2 - i].share, 1e-8));
        }
    }
}

TEST_CASE("mirror: a centre-fed plenum without slot swaps them too") {
    Case c = test::shipped(test::v6_bank);
    test::make_centre_fed_plenum(c.intake);
    check_mirrored(c);
}

TEST_CASE("mirror: a centre-fed plenum on the bench gives mirrored runners the same flow") {
    Case c = test::shipped(test::hill_climb);
    test::make_centre_fed_plenum(c.intake);
    const BenchResult r = solve_bench(c.intake, {}, c.model, {});
    REQUIRE_MESSAGE(r.converged, r.failure);
    REQUIRE(r.flow_per_runner.size() == 4);
    CHECK(r.flow_per_runner[0] == near(r.flow_per_runner[3], 1e-7));
    CHECK(r.flow_per_runner[1] == near(r.flow_per_runner[2], 1e-7));
}

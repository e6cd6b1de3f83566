#include <doctest/doctest.h>

#include "tests/support/engine.hpp"
#include "tests/support/near.hpp"

using namespace plenair;

// Mass, energy and fresh air are integrated by the same steps as the state, so the last cycle must
// balance to rounding whatever the grid.
TEST_CASE("engine: mass, energy and fresh air of the last cycle balance to 1e-12") {
    for (const auto& name : {test::hill_climb, test::marine_log, test::v6_bank}) {
        const Case c = test::shipped(name);
        for (const auto& point : c.points) {
            CAPTURE(name);
            CAPTURE(point.name);
            const PointResult r = solve_point(c.intake, c.engine, point, c.model, {});
            CHECK_MESSAGE(r.converged, r.failure);
            CHECK(r.mass_balance <= 1e-12);
            CHECK(r.energy_balance <= 1e-12);
            CHECK(r.fresh_air_balance <= 1e-12);
            CHECK(r.flow_balance <= 1e-6);
            double shares = 0.0;
            for (const auto& cylinder : r.cylinders) {
                shares += cylinder.share;
            }
            CHECK(shares == near(1.0, 1e-12));
        }
    }
}

TEST_CASE("engine: balances hold on a coarse grid with a long step too") {
    Case c = test::shipped(test::hill_climb);
    c.model.refinement = 0.5;
    c.model.courant = 1.9;
    const PointResult r = test::solve_named(c, "A4");
    CHECK_MESSAGE(r.converged, r.failure);
    CHECK(r.mass_balance <= 1e-12);
    CHECK(r.energy_balance <= 1e-12);
    CHECK(r.fresh_air_balance <= 1e-12);
}

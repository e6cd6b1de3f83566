#include <doctest/doctest.h>

#include "cases/study/no_slot.hpp"
#include "tests/support/engine.hpp"
#include "tests/support/near.hpp"

using namespace plenair;

// A jet of 200 m/s from a plate nearly closed blows into a chamber whose mean flow is a few m/s,
// and the waves of the runners are larger than that. They must not multiply the jet's momentum.

TEST_CASE("throttled: plates nearly closed still give a periodic state") {
    for (const std::string angle : {"20 deg", "15 deg", "12 deg"}) {
        CAPTURE(angle);
        const Case c =
            test::shipped(test::hill_climb, {"point.A5.throttle_angle=\"" + angle + "\""});
        const PointResult r = test::solve_named(c, "A5");
        REQUIRE_MESSAGE(r.converged, r.failure);
        CHECK(r.cycles < 40);
    }
}

TEST_CASE("throttled: the engine without its slot repeats its cycle at part throttle") {
    Case c = test::shipped(test::hill_climb);
    c.intake = study::without_slot(c.intake);
    const PointResult r = test::solve_named(c, "A5");
    REQUIRE_MESSAGE(r.converged, r.failure);
    CHECK(r.cycles < 40);
}

TEST_CASE("throttled: jets from both ends of a plenum are each other's mirror image") {
    Case c = test::shipped(test::v6_bank);
    test::make_log_plenum(c.intake);
    c.model.tolerance = 1e-9;
    c.model.max_cycles = 200;
    auto& throttles = c.intake.banks.front().throttles;
    throttles.front().bore *= 0.7;
    throttles.push_back(throttles.front());
    throttles.back().position = geometry::FeedPosition::end;
    for (const std::string point : {"C1", "C3"}) {
        CAPTURE(point);
        c.engine.firing_order = {1, 2, 3};
        const PointResult a = test::solve_named(c, point);
        c.engine.firing_order = {1, 3, 2};
        const PointResult b = test::solve_named(c, point);
        REQUIRE_MESSAGE(a.converged, a.failure);
        REQUIRE_MESSAGE(b.converged, b.failure);
        for (std::size_t i = 0; i < 3; ++i) {
            CHECK(a.cylinders[i].share == near(b.cylinders[2 - i].share, 1e-6));
        }
    }
}

TEST_CASE("throttled: what still gas cannot begin begins on coarse cells") {
    // A throttle wider than the header behind it: the first cycle from still gas chokes.
    const Case c =
        test::shipped(test::marine_log, {"plenum.diameter=\"50 mm\"", "throttle.bore=\"60.5 mm\""});
    for (const auto& point : c.points) {
        CAPTURE(point.name);
        const PointResult r = test::solve_named(c, point.name);
        REQUIRE_MESSAGE(r.converged, r.failure);
        CHECK(r.flow_balance < 1e-5);
    }
}

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <deque>
#include <vector>

#include "cases/file/read.hpp"
#include "solver/ensemble/ensemble.hpp"
#include "solver/march/cycle.hpp"
#include "tests/support/near.hpp"
#include "tests/support/random_engine.hpp"

// Engines that nobody chose, beside variants of their own with another speed, gas and cam, against
// each by itself on the same steps.

using namespace plenair;
using test::EngineRange;

namespace {

/// One engine and what marches beside it.
struct Company {
    Case c;
    std::deque<geometry::Engine> engines;
    std::deque<OperatingPoint> points;
    std::vector<Variant> variants;
};

void add(Company& company, double speed, double hotter, double later) {
    geometry::Engine& engine = company.engines.emplace_back(company.c.engine);
    engine.intake.opens += later;
    engine.intake.closes += later;
    OperatingPoint& point = company.points.emplace_back(company.c.points.front());
    point.speed *= speed;
    point.temperature += hotter;
    company.variants.push_back({&company.c.intake, &company.c.model, &engine, &point});
}

/// Variants that could be compared, and those of them that are the same to 1e-9.
struct Counts {
    int compared = 0, same = 0;
};

void compare(std::uint64_t seed, Counts& counts) {
    CAPTURE(seed);
    Company company{
        parse_case(test::random_engine(EngineRange::ordinary, seed).text, "random.toml", {}),
        {},
        {},
        {}};
    company.c.model.tolerance = 1e-4;
    add(company, 1.0, 0.0, 0.0);
    add(company, 0.97, 8.0, 0.0);
    add(company, 0.94, 0.0, 0.03);
    add(company, 0.99, -5.0, -0.02);
    std::vector<std::vector<StepPlan>> plans;
    EnsembleOptions options;
    options.warm = false;
    options.coarse_start = false;
    options.plans = &plans;
    const auto beside = solve_ensemble(company.variants, options);
    for (std::size_t i = 0; i < beside.size(); ++i) {
        CAPTURE(i);
        CycleOptions march;
        march.min_cycles = 1;
        march.plans = plans[i];
        const Variant& v = company.variants[i];
        const PointResult alone = solve_point(*v.intake, *v.engine, *v.point, *v.model, march);
        if (!beside[i].converged) {
            CHECK(!beside[i].failure.empty());
            continue;  // a point alone has ways to begin anew that lanes have not
        }
        REQUIRE(alone.converged);
        // Lanes round otherwise. Where a march is long that may decide which cycle is the last, and
        // a point alone marches its report apart, one cycle on, where its last cycle was not
        // expected to be that: both are then known to their estimates.
        double apart = std::abs(beside[i].air_flow / alone.air_flow - 1.0);
        for (std::size_t k = 0; k < alone.cylinders.size(); ++k) {
            apart =
                std::max(apart, std::abs(beside[i].cylinders[k].bias - alone.cylinders[k].bias));
        }
        CHECK(apart <= alone.share_error + beside[i].share_error);
        ++counts.compared;
        counts.same += apart < 1e-9 ? 1 : 0;
    }
}

}  // namespace

TEST_CASE(
    "random engines in lanes: each as it is by itself, to what both are known to, most to 1e-9") {
    constexpr std::uint64_t engines = 10;
    Counts counts;
    for (std::uint64_t seed = 101; seed < 101 + engines; ++seed) {
        compare(seed, counts);
    }
    CHECK(counts.compared >= 36);  // of 40; one engine in ten may leave physical states in lanes
    CHECK(2 * counts.same > counts.compared);
    MESSAGE(counts.compared << " compared, " << counts.same << " to 1e-9");
}

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <set>
#include <string>
#include <vector>

#include "cases/file/read.hpp"
#include "solver/march/cycle.hpp"
#include "tests/support/near.hpp"
#include "tests/support/random_engine.hpp"
#include "tests/support/share_error.hpp"

// A sample of what scripts/soak runs by the thousand.

using namespace plenair;
using test::EngineRange;

namespace {

/// Solves one engine; what it claims must hold together. @return whether it has a result.
bool solves(EngineRange range, std::uint64_t seed) {
    CAPTURE(seed);
    const test::RandomEngine engine = test::random_engine(range, seed);
    const Case c = parse_case(engine.text, "random.toml", {});  // legal: does not throw
    const PointResult r = solve_point(c.intake, c.engine, c.points.front(), c.model, {});
    if (!r.converged) {
        CHECK(!r.failure.empty());
        MESSAGE(seed << ": " << r.failure);
        return false;
    }
    double sum = 0;
    for (const auto& cylinder : r.cylinders) {
        CHECK(cylinder.share >= 0);
        CHECK(cylinder.air_trapped >= 0);
        CHECK(cylinder.residual_fraction >= 0);
        CHECK(cylinder.residual_fraction <= 1);
        sum += cylinder.share;
    }
    CHECK(sum == near(1, 1e-9));
    double of_banks = 0, flow = 0;
    std::size_t members = 0;
    for (const auto& bank : r.banks) {
        of_banks += bank.share;
        flow += bank.air_flow;
        members += bank.cylinders.size();
        CHECK(bank.spread >= 0);
        CHECK(std::abs(bank.end_bias) <= bank.spread + 1e-12);
        CHECK(std::abs(bank.end_bias) <= std::abs(r.end_bias) + 1e-12);
    }
    CHECK(r.banks.size() == c.intake.banks.size());
    CHECK(members == r.cylinders.size());
    CHECK(of_banks == near(1, 1e-9));
    // Less what the banks still store from cycle to cycle where shares are not known better, and
    // where next to nothing is drawn the rounding of what passes to and fro, of the air that the
    // pistons displace.
    const double ve = r.volumetric_efficiency;
    const double displaced = ve > 0 ? r.air_flow / ve : 0.0;
    CHECK(flow == near(r.air_flow, 1e-3 + r.flow_balance + 2 * r.share_error, 1e-11 * displaced));
    CHECK(std::isfinite(r.air_flow));
    CHECK(std::isfinite(r.periodic_residual));
    CHECK(r.fresh_air_balance < 1e-9);
    CHECK(std::abs(r.mass_balance) < 1e-9);
    CHECK(std::abs(r.energy_balance) < 1e-9);
    return true;
}

}  // namespace

TEST_CASE("random engines: 45 ordinary ones, whole or said why not") {
    int without = 0;
    for (std::uint64_t seed = 1; seed <= 45; ++seed) {
        without += solves(EngineRange::ordinary, seed) ? 0 : 1;
    }
    MESSAGE("ordinary without result: " << without);
}

TEST_CASE("random engines: shocks in end cells are no fault of the engine") {
    // Each left physical states before ends and first-order faces kept to their cells there.
    for (const std::uint64_t seed : {1007, 1021, 1219, 1260}) {
        CHECK(solves(EngineRange::ordinary, seed));
    }
}

TEST_CASE("random engines: 15 wide ones, whole or said why not") {
    int without = 0;
    for (std::uint64_t seed = 1; seed <= 15; ++seed) {
        without += solves(EngineRange::wide, seed) ? 0 : 1;
    }
    MESSAGE("wide without result: " << without);
}

TEST_CASE("random engines: the error of a share is at most three times the one that is estimated") {
    for (std::uint64_t seed = 61; seed <= 68; ++seed) {
        CAPTURE(seed);
        const auto error = test::share_error_of(EngineRange::ordinary, seed);
        REQUIRE(error);
        CHECK(error->found <= 3 * error->estimated);
    }
}

TEST_CASE("random engines: one that draws next to no air is refused by name and in time") {
    // Its intake fills with what blows back: it would settle over thousands of cycles.
    for (const std::uint64_t seed : {30049, 30149, 30165}) {
        CAPTURE(seed);
        const test::RandomEngine engine = test::random_engine(EngineRange::wide, seed);
        const Case c = parse_case(engine.text, "random.toml", {});
        const PointResult r = solve_point(c.intake, c.engine, c.points.front(), c.model, {});
        CHECK_FALSE(r.converged);
        CHECK(r.cycles <= 2 * c.model.max_cycles);
        for (const char* said : {"not a running engine: after ",
                                 "effective areas: throttle ",
                                 "valves of a cylinder while open: intake ",
                                 " mm2 (",
                                 "; the exhaust stands at ",
                                 "open what is narrow"}) {
            CAPTURE(said);
            CHECK(r.failure.find(said) != std::string::npos);
        }
    }
}

TEST_CASE(
    "random engines: the same seed gives the same text, a set draw changes only what it says") {
    const auto a = test::random_engine(EngineRange::ordinary, 7);
    CHECK(test::random_engine(EngineRange::ordinary, 7).text == a.text);
    CHECK(test::random_engine(EngineRange::ordinary, 8).text != a.text);
    const auto b = test::random_engine(EngineRange::ordinary, 7, {{"speed", 0.5}});
    for (const auto& draw : a.draws) {
        const auto same = std::find_if(
            b.draws.begin(), b.draws.end(), [&](const auto& d) { return d.name == draw.name; });
        REQUIRE(same != b.draws.end());
        CHECK((same->position == draw.position || draw.name == "speed"));
    }
}

TEST_CASE("random engines: every feed, throttle place, bank and unit is drawn") {
    std::set<std::string> seen;
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        const auto engine = test::random_engine(EngineRange::ordinary, seed);
        for (const auto& draw : engine.draws) {
            seen.insert(draw.name + " " + draw.value);
        }
        CHECK_NOTHROW(parse_case(engine.text, "random.toml", {}));
        CHECK_NOTHROW(
            parse_case(test::random_engine(EngineRange::wide, seed).text, "random.toml", {}));
    }
    for (const char* what : {"feed slot",
                             "feed log",
                             "feed tapered slot",
                             "feed pieces",
                             "feed holes",
                             "throttle position end",
                             "throttle position far",
                             "throttle position side",
                             "throttle position both ends",
                             "throttle position two sides",
                             "two banks yes",
                             "units inches",
                             "uneven firing yes",
                             "motored yes"}) {
        CAPTURE(what);
        CHECK(seen.count(what) == 1);
    }
}

// Between two chains the loop over all faces made no number of places that hold no gas.
TEST_CASE("random engines: balances are numbers") {
    CHECK(solves(EngineRange::ordinary, 21682));
    CHECK(solves(EngineRange::ordinary, 21930));
}

#include "cases/study/bench.hpp"
#include "tests/support/engine.hpp"
#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"

using namespace plenair;
using plenair::test::over_mean;
using plenair::test::run_rig;
using plenair::test::RunnerHeader;

TEST_CASE("bench: shares of a header do not depend on a depression that is small") {
    // Without friction and change of density the equations keep their form when velocities go with
    // the root of the depression. What is left of compressibility is below 0.1 % at 200 Pa.
    const auto flows = [](double depression) {
        RunnerHeader header;
        header.runners = 4;
        header.depression = depression;
        return over_mean(run_rig(header.text()).flow_per_runner);
    };
    const auto reference = flows(1);
    for (const double depression : {5.0, 50.0, 200.0}) {
        CAPTURE(depression);
        const auto flow = flows(depression);
        for (std::size_t i = 0; i < flow.size(); ++i) {
            CHECK(flow[i] == near(reference[i], 1e-3));
        }
    }
}

TEST_CASE("bench: eight runners at 20 Pa have the published equations' shares") {
    // Hudson, Uhler, Bailey 1979, J. Environ. Eng. Div. ASCE 105, 745-755, station by station.
    RunnerHeader header;
    header.depression = 20;
    header.model.regain = 1.05;
    const auto flow = over_mean(run_rig(header.text()).flow_per_runner);
    const double row[] = {0.736, 0.833, 0.921, 0.998, 1.064, 1.116, 1.154, 1.178};
    for (std::size_t i = 0; i < flow.size(); ++i) {
        CHECK(flow[i] == near(row[i], 5e-3));
    }
}

TEST_CASE("bench: low depression joins the usual bench without a step") {
    const auto flow = [](const char* depression) {
        const Case c = test::shipped(
            test::hill_climb,
            {"bench.set_ups=[\"all\"]", std::string("bench.depression=") + depression});
        const auto set_ups = bench(c).set_ups;
        REQUIRE(set_ups.front().converged);
        return set_ups.front().flow;
    };
    // 2 % of the source pressure: above it the bench is solved as it stands.
    CHECK(flow("2026 Pa") == near(flow("2027 Pa"), 5e-4));
}

TEST_CASE("bench: every set-up of the shipped engines finds its steady state") {
    for (const char* name : {"hill-climb-four/case.toml",
                             "marine-six/log.toml",
                             "marine-six/big-log.toml",
                             "marine-six/two-chamber.toml",
                             "v6-bank/case.toml"}) {
        CAPTURE(name);
        for (const auto& set_up : bench(test::shipped(name)).set_ups) {
            CAPTURE(set_up.name);
            CHECK_MESSAGE(set_up.converged, set_up.failure);
        }
    }
}

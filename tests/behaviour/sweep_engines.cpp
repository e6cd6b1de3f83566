#include "tests/support/near.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/sweep_case.hpp"
#include "tests/support/swept.hpp"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <string>

namespace {

using plenair::test::Swept;

/// A quick case that stops where any other does.
std::string certified(const std::string& sweep) {
    std::string text = plenair::test::sweep_case(sweep);
    return text.replace(text.find("tolerance = 1e-3"), 16, "tolerance = 1e-6");
}

std::string lifts(int count) {
    return "\"valve.intake.lift\" = { from = \"9.8 mm\", to = \"10.8 mm\", steps = " +
           std::to_string(count) + " }\n";
}

}  // namespace

// Every lane has an engine of its own.
TEST_CASE("sweep: a variant with an engine of its own gets what solve says of it") {
    const Swept swept(plenair::test::sweep_case(lifts(3)));
    REQUIRE(swept.count() == 3);
    for (std::size_t v = 0; v < 3; ++v) {
        CAPTURE(swept.input(v));
        const auto point = swept.alone("valve.intake.lift=" + swept.input(v) + " mm");
        // Quick cases stop at 1e-3, which is worth 0.2 % of a share.
        CHECK(swept.number(v, "air_flow_g_s") ==
              near(1e3 * point.at("air_flow_kg_s").get<double>(), 2e-3));
        swept.check_shares(v, point, 2e-3);
    }
}

TEST_CASE("sweep: engines too give the same bytes at any number of threads") {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", plenair::test::sweep_case(lifts(40)));
    for (const std::string threads : {"1", "3"}) {
        const auto outcome = run_plenair(
            {"sweep", path, "--folder", scratch.path(threads), "--threads", threads, "--quiet"});
        CAPTURE(outcome.err);
        REQUIRE(outcome.status == 0);
    }
    CHECK(read_text(scratch.path("1") + "/result.h5") == read_text(scratch.path("3/result.h5")));
}

// Slow gas: a cycle forgets little, and a small residual may be far from the answer.
TEST_CASE("sweep: behind a nearly closed throttle a variant gets what solve says of it") {
    std::string text =
        certified("\"slot.width\" = { from = \"5 mm\", to = \"6.9 mm\", steps = 20 }\n");
    text.insert(text.find("exhaust_pressure = \"270 kPa abs\""), "throttle_angle = \"10 deg\"\n");
    const Swept swept(text);
    REQUIRE(swept.count() == 20);
    for (const std::size_t v : {0u, 9u, 19u}) {
        CAPTURE(swept.input(v));
        swept.check_shares(v, swept.alone("slot.width=" + swept.input(v) + " mm"), 1e-3);
    }
}

// A header far too narrow for the air it carries: still gas breaks loose in lanes, while `solve`
// has a way round it.
TEST_CASE("sweep: a variant that leaves physical states in lanes is tried alone") {
    std::string text =
        read_text(std::string(PLENAIR_SOURCE_DIR) + "/cases/shipped/marine-six/log.toml");
    const auto replace = [&](const std::string& from, const std::string& to) {
        REQUIRE(text.find(from) != std::string::npos);
        text.replace(text.find(from), from.size(), to);
    };
    replace("diameter = \"64.0 mm\"", "diameter = \"48.0 mm\"");
    replace("length = \"225 mm\"", "length = \"100 mm\"");
    const auto last = text.rfind("[[point]]");
    text = text.substr(0, text.find("[[point]]")) + text.substr(last);
    const Swept swept(text + "[sweep]\n\"throttle.bore\" = \"60, 70, 80 mm\"\n");
    REQUIRE(swept.count() == 3);
    for (std::size_t v = 0; v < 3; ++v) {
        CHECK(swept.text(v, "status_text") == "complete");
        CHECK(swept.number(v, "periodic_residual_ratio") < 3e-5);
    }
}

TEST_CASE("sweep: sweep.tolerance says how periodic a variant must be") {
    const Swept swept(certified(
        "tolerance = 1e-6\n\"slot.width\" = { from = \"5 mm\", to = \"7 mm\", steps = 5 }\n"));
    REQUIRE(swept.count() == 5);
    for (std::size_t v = 0; v < 5; ++v) {
        CHECK(swept.number(v, "periodic_residual_ratio") < 1e-6);
    }
}

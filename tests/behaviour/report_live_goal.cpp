#include <doctest/doctest.h>

#include "tests/support/browser/live.hpp"
#include "tests/support/one_curve.hpp"
#include "tests/support/quick_four.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/text.hpp"

#include <algorithm>
#include <string>
#include <vector>

// The goal in the working model of a report: target, "Choose width", the curve over speed.

namespace {

using Json = nlohmann::json;
using plenair::test::has_model;
using plenair::test::quick_four;
using plenair::test::two_points;
using plenair::test::work;

std::string page_of(const ScratchFolder& scratch, const std::string& points) {
    const auto file = scratch.write("case.toml", quick_four(points));
    auto page = scratch.path("page.html");
    REQUIRE(run_plenair({"report", file, "--bands", "off", "--quiet", "-o", page}).status == 0);
    return page;
}

/// The largest spread of the case's points with this slot, as the command line has it.
double largest_spread(const ScratchFolder& scratch, const std::string& width) {
    const auto run = run_plenair({"solve",
                                  scratch.path("case.toml"),
                                  "--json",
                                  "--quiet",
                                  "--bands",
                                  "off",
                                  "--set",
                                  "slot.width=" + width});
    REQUIRE_MESSAGE(run.status == 0, run.err);
    double largest = 0;
    for (const auto& point : Json::parse(run.out)["points"]) {
        largest = std::max(largest, point["spread_percent"].get<double>());
    }
    return largest;
}

}  // namespace

TEST_CASE(
    "live report: \"Choose width\" puts the width in its field, certified, with its sentence") {
    if (!has_model()) return;
    const ScratchFolder scratch;
    const auto page = page_of(scratch, two_points);
    const auto found = work("goal", page, {{"target", "4.0"}});
    REQUIRE(found["state"] == "ready");
    CHECK(found["waiting"]["disabled"] == true);
    CHECK(has(found["waiting"]["said"].get<std::string>(), "4 % at every point"));
    CHECK(found["disabled"] == false);
    REQUIRE_MESSAGE(found["answer"]["ok"] == true, found["answer"].dump());
    CHECK(found["said"] == found["answer"]["words"]);
    const std::string value = found["answer"]["value"];
    CHECK(std::stod(value) == std::stod(found["field"].get<std::string>()));
    CHECK(found["seen"]["state"] == "certified");
    CHECK(found["answer"]["met"] == true);
    CHECK(largest_spread(scratch, value) <= 4.0);
    CHECK(found["lines"].get<int>() == 1);
    CHECK(found["charts"] == 0);
}

TEST_CASE("live report: the curve over speed follows the moves, with the target's line") {
    if (!has_model()) return;
    const ScratchFolder scratch;
    const auto page = page_of(scratch, plenair::test::one_curve);
    const auto found = work("goal", page, {{"target", "1.2"}, {"speeds", true}});
    REQUIRE(found["state"] == "ready");
    CHECK(has(found["over"].get<std::string>(), "target 1.2 %"));
    CHECK(found["charts"] == 1);
}

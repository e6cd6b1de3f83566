#include "cases/file/tolerance.hpp"
#include "cases/study/solve.hpp"
#include "tests/support/layouts.hpp"
#include "tests/support/near.hpp"
#include "tests/support/quick_four.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <fmt/format.h>
#include <algorithm>
#include <boost/math/distributions/binomial.hpp>
#include <cmath>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

using nlohmann::json;
using plenair::test::quick_four;
using plenair::test::two_points;

namespace {

json told(const std::string& section, const std::vector<std::string>& more = {}) {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", quick_four(two_points, 1e-6) + section);
    std::vector<std::string> arguments = {"tolerance", path, "--json"};
    arguments.insert(arguments.end(), more.begin(), more.end());
    const auto run = run_plenair(arguments);
    REQUIRE_MESSAGE(run.status == 0, run.err);
    return json::parse(run.out);
}

const json& input(const json& result, const std::string& name) {
    for (const auto& each : result.at("inputs")) {
        if (each.at("input") == name) {
            return each;
        }
    }
    FAIL("no input " << name);
    return result;
}

}  // namespace

TEST_CASE("tolerance: limits come from the section, the drawing and ISO 2768-1 m, and say so") {
    const auto result = told("[tolerance]\n\"slot.width\" = \"0.08 mm\"\n");
    CHECK(input(result, "slot.width").at("limit_m").get<double>() == near(8e-5, 1e-12));
    CHECK(input(result, "slot.width").at("limit_from") == "tolerance.slot.width");
    CHECK(input(result, "slot.edge_radius").at("limit_m").get<double>() == near(2e-4, 1e-12));
    CHECK(input(result, "slot.edge_radius").at("limit_from") == "slot.edge_radius_tolerance");
    // 168 mm: over 120 up to 400 mm.
    CHECK(input(result, "runner.length of cylinder 3").at("limit_m").get<double>() ==
          near(5e-4, 1e-12));
    CHECK(input(result, "runner.length of cylinder 3").at("limit_from") == "ISO 2768-m");
    // 11 mm entry radius: table 2, over 6 mm.
    CHECK(input(result, "runner.bell_radius of cylinder 1").at("limit_m").get<double>() ==
          near(1e-3, 1e-12));
}

TEST_CASE("tolerance: an effect is the difference of two solutions") {
    const auto result = told("");
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", quick_four(two_points, 1e-6));
    const auto worst = [&](const std::string& width) {
        const auto run = run_plenair(
            {"solve", path, "--bands", "off", "--json", "--set", "slot.width=" + width});
        double spread = 0;
        const auto solved = json::parse(run.out);
        for (const auto& point : solved.at("points")) {
            spread = std::max(spread, point.at("spread_percent").get<double>());
        }
        return spread;
    };
    const double drawn = worst("6 mm");
    CHECK(result.at("drawn_spread_percent").get<double>() == drawn);  // to the last digit
    const auto& width = input(result, "slot.width");
    CHECK(width.at("spread_at_high_percent").get<double>() ==
          near(worst("6.05 mm") - drawn, 0, 6e-3));
    CHECK(width.at("spread_at_low_percent").get<double>() ==
          near(worst("5.95 mm") - drawn, 0, 6e-3));
}

TEST_CASE("tolerance: odds have their interval, the same seed draws the same parts") {
    const std::string section = "[tolerance]\ntarget = \"1.9 %\"\nparts = 2000\n";
    const auto first = told(section), again = told(section, {"--threads", "1"});
    CHECK(first == again);
    const auto& odds = first.at("odds");
    CHECK(odds.at("parts") == 2000);
    CHECK(odds.at("low_percent").get<double>() <= odds.at("share_percent").get<double>());
    CHECK(odds.at("high_percent").get<double>() >= odds.at("share_percent").get<double>());
    const auto& variance = first.at("variance");
    CHECK(variance.at("metal_total").get<double>() + variance.at("model_first").get<double>() ==
          near(1, 0, 0.03));
    CHECK(first.at("surface_worst_error_percent").get<double>() < 0.1);
    CHECK(first.at("corner").at("spread_percent").get<double>() >=
          first.at("spread_95_percent").get<double>());
}

TEST_CASE("tolerance: every part solved gives the odds of the surface within their interval") {
    const std::string section =
        "[tolerance]\ntarget = \"1.9 %\"\nparts = 300\ncoefficients = \"off\"\n";
    const auto surface = told(section);
    const auto direct = told(section + "method = \"direct\"\n");
    CHECK(direct.at("method") == "direct");
    const double share = surface.at("odds").at("share_percent").get<double>();
    CHECK(direct.at("odds").at("low_percent").get<double>() <= share + 1);
    CHECK(direct.at("odds").at("high_percent").get<double>() >= share - 1);
}

TEST_CASE("tolerance: a proposal is what can be entered, and gives what it says") {
    const std::string rest = "parts = 4000\ncoefficients = \"off\"\n";
    const double drawn = told("[tolerance]\n" + rest).at("drawn_spread_percent").get<double>();
    const std::string section = fmt::format("[tolerance]\ntarget = \"{} %\"\n", drawn + 0.1) + rest;
    const auto result = told(section);
    const auto& one = input(result, "runner.diameter of cylinder 1");
    const auto& other = input(result, "runner.diameter of cylinder 4");
    const double said = one.at("odds_at_half_limit_percent").get<double>();
    CHECK(other.at("odds_at_half_limit_percent").get<double>() == said);
    CHECK(one.at("proposal") == "close first");
    CHECK(other.at("proposal") == "close first");
    const double limit = one.at("limit_m").get<double>() / 2;
    const auto entered =
        told(section + fmt::format("\"runner.diameter\" = \"{} mm\"\n", 1000 * limit));
    // Five deviations of the share of 2,000 parts and of that of 4,000.
    const double deviation = 100 * std::sqrt(0.25 / 2000 + 0.25 / 4000);
    CHECK(entered.at("odds").at("share_percent").get<double>() == near(said, 0, 5 * deviation));
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", quick_four(two_points, 1e-6) + section);
    CHECK(
        has(run_plenair({"tolerance", path}).out, "runner.diameter of every runner: close first"));
}

TEST_CASE("tolerance: one cylinder has no spread to keep, and is told what to use") {
    const auto run = run_plenair({"tolerance", plenair::test::layout_path("one-log")});
    CHECK(run.status == 2);
    CHECK(has(run.err,
              "one cylinder gets all the air, so that there is no spread to keep; what a size "
              "costs in air and loss says compare --vary"));
}

TEST_CASE("tolerance: one larger than its dimension is refused by name") {
    const ScratchFolder scratch;
    const auto path = scratch.write(
        "case.toml", quick_four(two_points) + "[tolerance]\n\"slot.edge_radius\" = \"2.5 mm\"\n");
    const auto run = run_plenair({"tolerance", path});
    CHECK(run.status == 2);
    CHECK(has(
        run.err,
        "tolerance.slot.edge_radius = 2.5 mm: is not smaller than the dimension itself (2 mm)"));
}

TEST_CASE("tolerance: the odds of one dimension are an exact binomial's") {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", quick_four(two_points, 1e-6));
    auto plan = plenair::read_tolerance(path, {});
    std::erase_if(plan.dimensions, [](const auto& dimension) {
        return dimension.key != "runner.diameter of cylinder 2";
    });
    REQUIRE(plan.dimensions.size() == 1);
    plan.coefficients = false;
    plan.parts = 4000;
    const auto worst_at = [&](double part) {
        auto c = plan.base;
        plan.dimensions.front().move(c, part * plan.dimensions.front().limit);
        double worst = 0;
        for (const auto& point : solve(c, {}).points) {
            worst = std::max(worst, point.spread);
        }
        return worst;
    };
    // The spread rises with the bore all the way, so that what is below its value at 0.4 of the
    // limit is seven tenths of all bores.
    REQUIRE(worst_at(-1) < worst_at(0));
    REQUIRE(worst_at(0) < worst_at(0.4));
    REQUIRE(worst_at(0.4) < worst_at(1));
    plan.target = worst_at(0.4);
    const auto result = tolerance(plan, {});
    const boost::math::binomial exact(4000, 0.7);
    CHECK(static_cast<double>(result.metal.good) >= boost::math::quantile(exact, 5e-4));
    CHECK(static_cast<double>(result.metal.good) <= boost::math::quantile(exact, 1 - 5e-4));
    CHECK(result.metal.low < 0.7);
    CHECK(result.metal.high > 0.7);
}

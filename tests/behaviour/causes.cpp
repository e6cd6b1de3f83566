#include "cases/study/causes.hpp"
#include "cases/file/read.hpp"
#include "tests/support/layouts.hpp"
#include "tests/support/near.hpp"
#include "tests/support/quick_four.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>

using plenair::all_causes;
using plenair::cause_count;
using plenair::CausePoint;
using plenair::causes;
using plenair::parse_case;
using plenair::test::quick_four;
using plenair::test::two_points;

namespace {

enum : std::size_t { jet, place, pressure, runners, waves };

/// @param regain  air that leaves a chamber takes nothing along: no pressure along it
CausePoint told(const std::vector<std::string>& sets, bool regain = true) {
    auto c = parse_case(quick_four(two_points, 1e-6), "four.toml", sets);
    if (!regain) {
        c.model.regain = 0;
        c.model.crossflow_loss = 0;
    }
    plenair::CausesOptions options;
    options.points = {"top"};
    const auto result = causes(c, options);
    REQUIRE_MESSAGE(result.points.front().known, result.points.front().failure);
    return result.points.front();
}

}  // namespace

TEST_CASE("causes: the parts and the rest sum to the whole") {
    const auto point = told({});
    for (std::size_t c = 0; c < 4; ++c) {
        double sum = point.rest[c];
        for (std::size_t i = 0; i < cause_count; ++i) {
            sum += point.part[i][c];
        }
        CHECK(sum == near(point.whole[c], 0, 1e-12));
    }
    double spread = point.spread_rest;
    for (const double part : point.spread_part) {
        spread += part;
    }
    CHECK(spread == near(point.spread, 0, 1e-12));
}

TEST_CASE("causes: equal runners have no part at all") {
    const auto point = told({});
    for (std::size_t c = 0; c < 4; ++c) {
        CHECK(point.part[runners][c] == 0.0);
    }
}

TEST_CASE("causes: a feed at half the length, without momentum, has no part") {
    const auto point = told({"throttle.position=side", "throttle.x=200 mm"});
    for (std::size_t c = 0; c < 4; ++c) {
        CHECK(point.part[place][c] == 0.0);
        CHECK(std::abs(point.part[jet][c]) < 1e-12);
    }
}

TEST_CASE("causes: a mirror engine has no bias to divide, and says so") {
    plenair::CausesOptions options;
    options.points = {"high"};
    const auto c = plenair::test::layout("two-centre");
    const auto point = causes(c, options).points.front();
    REQUIRE_MESSAGE(point.known, point.failure);
    for (std::size_t cylinder = 0; cylinder < 2; ++cylinder) {
        for (std::size_t i = 0; i < cause_count; ++i) {
            CHECK(std::abs(point.part[i][cylinder]) < c.model.tolerance);
        }
    }
    CHECK(plenair::largest_cause_text(point) == "high: there is no spread to divide.");
}

TEST_CASE("causes: a mirror engine fed at its end has its bias from the feed alone") {
    // Twins that fire 360 degrees apart: with the feed in the middle nothing tells them apart, with
    // waves and pressure or without.
    plenair::CausesOptions options;
    options.points = {"high"};
    auto text = read_text(plenair::test::layout_path("two-centre"));
    const std::string middle = "position = \"side\"\nx = \"118 mm\"";
    REQUIRE(text.find(middle) != std::string::npos);
    text.replace(text.find(middle), middle.size(), "position = \"end\"");
    const auto c = parse_case(text, "twins.toml", {});
    const auto point = causes(c, options).points.front();
    REQUIRE_MESSAGE(point.known, point.failure);
    REQUIRE(point.spread > 100 * c.model.tolerance);  // there is something to divide
    for (std::size_t cylinder = 0; cylinder < 2; ++cylinder) {
        CAPTURE(cylinder);
        for (const std::size_t idle : {pressure, runners, waves}) {
            CHECK(std::abs(point.part[idle][cylinder]) < c.model.tolerance);
        }
        CHECK(point.part[place][cylinder] + point.part[jet][cylinder] ==
              near(point.whole[cylinder], 0, 3 * c.model.tolerance));
    }
}

TEST_CASE("causes: pressure along the chambers has what it adds where nothing but waves act") {
    const std::vector<std::string> middle = {"throttle.position=side", "throttle.x=200 mm"};
    const auto with = told(middle), without = told(middle, false);
    for (std::size_t c = 0; c < 4; ++c) {
        CAPTURE(c);
        CHECK(with.part[pressure][c] == near(with.whole[c] - without.whole[c], 0, 1e-12));
        CHECK(with.part[waves][c] == near(without.whole[c] - without.rest[c], 0, 1e-12));
        CHECK(with.part[place][c] == 0.0);
        CHECK(with.part[jet][c] == 0.0);
    }
}

TEST_CASE("causes: unequal runners on a plenum in which nothing else acts have all of the bias") {
    // Fed in the middle without momentum, no pressure along the chambers, sections fifty times as
    // large: what the other switches would take away is taken away already.
    const auto point = told({"throttle.position=side",
                             "throttle.x=200 mm",
                             "pre_chamber.area=160000 mm2",
                             "plenum.area=320000 mm2",
                             "plenum.perimeter=2260 mm",
                             "runner.length=168, 200, 240, 150 mm",
                             "model.max_cycles=400"},
                            false);
    CHECK(point.largest == runners);
    REQUIRE(point.spread > 0.01);
    for (std::size_t c = 0; c < 4; ++c) {
        CAPTURE(c);
        for (const std::size_t idle : {jet, place, pressure}) {
            CHECK(std::abs(point.part[idle][c]) < 1e-12);
        }
        // What is left of waves in chambers of this size.
        CHECK(point.part[runners][c] == near(point.whole[c], 0, 0.03 * point.spread));
    }
}

TEST_CASE("causes: waves and draw order have all of the bias where nothing else acts") {
    const auto point = told({"throttle.position=side", "throttle.x=200 mm"}, false);
    REQUIRE(point.spread > 0.005);
    for (std::size_t c = 0; c < 4; ++c) {
        CAPTURE(c);
        for (const std::size_t idle : {jet, place, pressure, runners}) {
            CHECK(std::abs(point.part[idle][c]) < 1e-12);
        }
        CHECK(point.part[waves][c] == near(point.whole[c] - point.rest[c], 0, 1e-12));
    }
}

#include "cases/study/causes.hpp"
#include "cases/file/read.hpp"
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

CausePoint told(const std::vector<std::string>& sets) {
    const auto c = parse_case(quick_four(two_points, 1e-6), "four.toml", sets);
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

#include <doctest/doctest.h>

#include "cases/study/solve.hpp"
#include "tests/support/engine.hpp"
#include "tests/support/near.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

// What the default step costs: a half and a quarter of it move no share of a shipped engine by more
// than 0.005 % of itself, nor the air by more than 0.02 %.
using namespace plenair;

namespace {

constexpr double share_bound = 5e-5;
constexpr double air_bound = 2e-4;

std::vector<PointResult> solved(Case c, double part_of_step) {
    c.model.courant *= part_of_step;
    c.model.tolerance = 1e-7;  // so that the step is all that is left
    SolveOptions options;
    options.bands = false;
    return solve(c, options).points;
}

void check_step(const std::string& name) {
    const Case c = test::shipped(name);
    const auto usual = solved(c, 1.0);
    for (const double part : {0.5, 0.25}) {
        const auto finer = solved(c, part);
        REQUIRE(finer.size() == usual.size());
        double share = 0.0;
        double air = 0.0;
        for (std::size_t p = 0; p < usual.size(); ++p) {
            REQUIRE_MESSAGE(usual[p].converged, usual[p].failure);
            REQUIRE_MESSAGE(finer[p].converged, finer[p].failure);
            for (std::size_t k = 0; k < usual[p].cylinders.size(); ++k) {
                share = std::max(
                    share,
                    std::abs(usual[p].cylinders[k].share / finer[p].cylinders[k].share - 1.0));
            }
            air = std::max(air, std::abs(usual[p].air_flow / finer[p].air_flow - 1.0));
        }
        CAPTURE(name);
        CAPTURE(part);
        CHECK(share <= share_bound);
        CHECK(air <= air_bound);
        const std::string with = part > 0.3 ? "half the step" : "a quarter of the step";
        test::record(c.title + ": largest change of a share with " + with,
                     "Own computation",
                     share,
                     0.0,
                     "0.00005");
    }
}

}  // namespace

TEST_CASE("step: shares of the hill-climb four are right to 0.005 %") {
    check_step(test::hill_climb);
}
TEST_CASE("step: shares of the V6 bank are right to 0.005 %") {
    check_step(test::v6_bank);
}
TEST_CASE("step: shares of the marine six with its log are right to 0.005 %") {
    check_step(test::marine_log);
}
TEST_CASE("step: shares of the marine six with its big log are right to 0.005 %") {
    check_step("marine-six/big-log.toml");
}
TEST_CASE("step: shares of the marine six with two chambers are right to 0.005 %") {
    check_step("marine-six/two-chamber.toml");
}

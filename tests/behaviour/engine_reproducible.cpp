#include <doctest/doctest.h>

#include "cases/report/json.hpp"
#include "cases/study/solve.hpp"
#include "tests/support/engine.hpp"
#include "tests/support/run_plenair.hpp"

#include <nlohmann/json.hpp>

#include <sys/resource.h>

using namespace plenair;

namespace {

std::string shipped_path(const std::string& name) {
    return std::string(PLENAIR_SOURCE_DIR) + "/cases/shipped/" + name;
}

}  // namespace

// First in this file: the largest child so far is then the solve itself.
TEST_CASE("command: solving the hill-climb four takes less than 50 MB") {
    const auto outcome = run_plenair({"solve", shipped_path(test::hill_climb), "--json"});
    REQUIRE(outcome.status == 0);
    rusage usage{};
    REQUIRE(getrusage(RUSAGE_CHILDREN, &usage) == 0);
#if !defined(__SANITIZE_ADDRESS__)  // a sanitizer keeps a shadow of all memory
    CHECK(usage.ru_maxrss < 50 * 1024);  // kB
#endif
}

TEST_CASE("solve: the same bytes for 1, 2 and 8 threads") {
    const Case c = test::shipped(test::hill_climb);
    const auto text = [&](int threads) {
        SolveOptions options;
        options.threads = threads;
        options.bands = false;
        return json_text(solve(c, options));
    };
    const std::string one = text(1);
    CHECK(one == text(1));
    CHECK(one == text(2));
    CHECK(one == text(8));
}

TEST_CASE("command: a point that is not periodic gets status 3, a reason and no shares") {
    const auto outcome = run_plenair(
        {"solve", shipped_path(test::hill_climb), "--set", "model.max_cycles=3", "--json"});
    CHECK(outcome.status == 3);
    CHECK(outcome.err.find("did not converge") != std::string::npos);
    const auto json = nlohmann::json::parse(outcome.out);
    CHECK(json["converged"] == false);
    for (const auto& point : json["points"]) {
        CHECK(point["converged"] == false);
        CHECK(point["failure"].get<std::string>().find("3 cycles") != std::string::npos);
        CHECK(point["cycles"] == 3);
        CHECK_FALSE(point.contains("spread_percent"));
        CHECK_FALSE(point.contains("end_bias_percent"));
        for (const auto& cylinder : point["cylinders"]) {
            CHECK_FALSE(cylinder.contains("share"));
            CHECK_FALSE(cylinder.contains("bias_percent"));
            CHECK_FALSE(cylinder.contains("air_trapped_kg"));
        }
    }
}

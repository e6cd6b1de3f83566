#include "cases/report/html.hpp"
#include "cases/report/terminal.hpp"
#include "cases/study/verdict.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/sample_results.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

/// Every output says of one result the same: what the verdict says.

using namespace plenair;

namespace {

/// Two points whose end biases are `slow` and `fast`.
SolveResult two_points(double slow, double fast, double band = 0) {
    SolveResult result = test::sample_solve();
    result.points[1] = result.points[0];
    result.points[1].name = "A5";
    result.points[1].speed *= 0.5;
    for (auto& point : result.points) point.bias_band = band;
    result.points[1].end_bias = slow;
    result.points[0].end_bias = fast;
    result.summary = verdict_words(result);
    return result;
}

std::string page_of(const SolveResult& result) {
    ReportOptions options;
    options.scripts = false;
    ReportSource source;
    source.name = "a";
    source.result = result;
    return html_text({source}, options);
}

void check_outputs(const SolveResult& result, const std::string& claim) {
    CHECK(has(verdict_words(result), claim));
    CHECK(has(terminal_text(result, false), claim));
    CHECK(has(page_of(result), claim) == has(claim, "reverses"));  // a page lists what to watch
}

}  // namespace

TEST_CASE(
    "verdict: an end bias that changes sign inside the band does not reverse, in any output") {
    const std::string none = "The end bias does not reverse by more than can be told apart.";
    check_outputs(two_points(-0.001, 0.004), none);
    check_outputs(two_points(-0.008, 0.02, 0.01), none);
    CHECK_FALSE(has(page_of(two_points(-0.001, 0.004)), "reverses"));
}

TEST_CASE("verdict: an end bias that changes sign beyond the band reverses, in every output") {
    const std::string claim =
        "The end bias reverses between 4300 and 8600 rpm: a correction that helps at one speed "
        "harms at the other.";
    check_outputs(two_points(-0.006, 0.006), claim);
    check_outputs(two_points(-0.008, 0.02, 0.007), claim);
}

TEST_CASE("verdict: one point alone says nothing of a reversal") {
    CHECK_FALSE(has(verdict_words(test::sample_solve()), "revers"));
}

TEST_CASE("verdict: the JSON of solve and the report made of it say the same") {
    const ScratchFolder scratch;
    const auto json_path = scratch.path("off.json"), html_path = scratch.path("off.html");
    const auto solved = run_plenair({"solve",
                                     "cases/shipped/hill-climb-four/case.toml",
                                     "--bands",
                                     "off",
                                     "--quiet",
                                     "-o",
                                     json_path});
    REQUIRE(solved.status == 0);
    REQUIRE(run_plenair({"report", json_path, "-o", html_path, "--quiet"}).status == 0);
    const std::string words = nlohmann::json::parse(read_text(json_path)).at("summary");
    const auto page = read_text(html_path);
    const auto reversal = words.find("The end bias");
    REQUIRE(reversal != std::string::npos);
    CHECK(has(page, words.substr(0, reversal - 1)));
    CHECK(has(page, words.substr(reversal)) == has(words, "reverses"));
}

#include "cases/report/html.hpp"
#include "cases/report/terminal.hpp"
#include "cases/study/verdict.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/sample_results.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <vector>

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
    result.points[1].end_bias = result.points[1].banks[0].end_bias = slow;
    result.points[0].end_bias = result.points[0].banks[0].end_bias = fast;
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

TEST_CASE("verdict: each bank leans for itself, and is named where it reverses") {
    SolveResult result = test::sample_banks();
    result.points[1] = result.points[0];
    result.points[1].name = "A5";
    result.points[1].speed *= 0.5;
    for (auto& point : result.points) point.bias_band = 0;
    // The left bank leans one way at both speeds, the right one changes; its sign is not that of
    // the last less the first cylinder of the engine.
    result.points[0].banks[0].end_bias = result.points[1].banks[0].end_bias = 0.03;
    result.points[0].banks[1].end_bias = 0.008;
    result.points[1].banks[1].end_bias = -0.009;
    CHECK(has(verdict_words(result),
              "The end bias reverses in bank right between 4300 and 8600 rpm: "));
    result.points[1].banks[1].end_bias = 0.009;
    CHECK(has(verdict_words(result), "In no bank does the end bias reverse by more than"));
    CHECK(has(verdict_words(result), "At A4 bank left gets 50.4 % of the air, bank right 49.6 %."));
}

TEST_CASE("verdict: table and chart of a curve mark what the sentence says, bank by bank") {
    SolveResult result = test::sample_banks();
    const PointResult point = result.points[0];
    result.points.clear();
    // The bank of the largest end bias is the left one, then the right one: the sign of the largest
    // changes where no bank's does.
    const double left[] = {0.03, 0.02, 0.02}, right[] = {-0.01, -0.04, 0.04};
    for (std::size_t i = 0; i < 3; ++i) {
        result.points.push_back(point);
        PointResult& step = result.points.back();
        step.speed = point.speed * (0.5 + 0.25 * static_cast<double>(i));
        step.bias_band = 0;
        step.banks[0].end_bias = left[i];
        step.banks[1].end_bias = right[i];
        step.end_bias = left[i] > std::abs(right[i]) ? left[i] : right[i];
    }
    result.curves.emplace_back();
    result.curves[0].name = "full";
    result.curves[0].count = 3;
    const std::string claim =
        "The end bias reverses in bank right between 6450 and 8600 rpm: a correction that helps at "
        "one speed harms at the other.";
    CHECK(has(verdict_words(result), claim));
    CHECK(has(page_of(result), "Dotted: " + claim));
    const std::string text = terminal_text(result, false);
    std::vector<std::string> marked;
    for (const auto& line : split(text.substr(text.find("curve full")), '\n')) {
        if (has(line, "<")) marked.push_back(line);
    }
    REQUIRE(marked.size() == 2);
    CHECK(has(marked[0], "8600"));
    CHECK(has(marked[1], "< end bias of a bank has reversed since"));
}

TEST_CASE("verdict: whether the slot helps, does not or harms is said, beyond what can be told") {
    const auto words = [](double with, double without) {
        SolveResult result = test::sample_solve();
        result.points[0].spread = with;
        result.points[0].no_slot_spread = without;
        result.points[0].no_slot_air_flow = 0.36;
        return verdict_words(result);
    };
    CHECK(has(words(0.084, 0.05), "The slot harms: "));
    CHECK(has(words(0.084, 0.05), "the spread is at most 5.0 %, with it 8.4 %; take the wall out"));
    CHECK(has(words(0.052, 0.05), "The slot does not help: "));
    CHECK(has(words(0.03, 0.05), "The slot helps: "));
    CHECK_FALSE(has(verdict_words(test::sample_solve()), "The slot"));
    SolveResult mixed = test::sample_solve();
    mixed.points[1] = mixed.points[0];
    mixed.points[1].name = "A5";
    for (auto& point : mixed.points) {
        point.no_slot_air_flow = 0.36;
        point.bias_band = 0;
    }
    mixed.points[0].spread = 0.03;
    mixed.points[0].no_slot_spread = 0.06;
    mixed.points[1].spread = 0.02;
    mixed.points[1].no_slot_spread = 0.01;
    CHECK(has(verdict_words(mixed), "with it 3.0 %; but it harms at A5."));
    mixed.points[1].spread = 0.08;
    CHECK(has(verdict_words(mixed), "with it 8.0 %; but it helps at A4; change the slot."));
}

TEST_CASE("verdict: what is inside a point's band is no harm of the slot and no leanest cylinder") {
    SolveResult result = test::sample_solve();
    PointResult& point = result.points[0];
    result.points.resize(1);
    point.no_slot_air_flow = 0.36;
    point.spread = 0.014;
    point.no_slot_spread = 0.008;
    point.bias_band = 0.005;
    CHECK(has(verdict_words(result), "The slot harms: "));
    point.bias_band = 0.014;
    CHECK(has(verdict_words(result), "which cannot be told apart"));
    double most = 0;
    for (const auto& cylinder : point.cylinders) most = std::max(most, cylinder.bias);
    point.spread = 3 * most;
    point.bias_band = 0.9 * most;
    CHECK(has(verdict_words(result), "the leanest on equal fuel"));
    point.bias_band = 1.1 * most;
    CHECK(has(verdict_words(result), "none gets more air than the mean by"));
    CHECK(has(verdict_words(result), "that can be told apart: no cylinder is named."));
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

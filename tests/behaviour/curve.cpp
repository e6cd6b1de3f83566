#include "tests/support/near.hpp"
#include "tests/support/one_curve.hpp"
#include "tests/support/quick_four.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

using nlohmann::json;
using plenair::test::one_curve;
using plenair::test::quick_four;
using plenair::test::two_points;

namespace {

std::string replaced(std::string text, const std::string& what, const std::string& by) {
    return text.replace(text.find(what), what.size(), by);
}

std::string refusal(const std::string& curve) {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", quick_four(curve));
    const auto run = run_plenair({"check", path});
    CHECK(run.status == 2);
    return run.err;
}

double spread_of(const json& point) {
    return point.at("spread_percent").get<double>();
}

}  // namespace

TEST_CASE("curve: becomes named points between its tables, and its worst speed tops them all") {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", quick_four(two_points + std::string(one_curve)));
    const auto stored = scratch.path("air.json");
    const auto run = run_plenair({"solve", path, "--bands", "off", "-o", stored});
    REQUIRE_MESSAGE(run.status == 0, run.err);
    CHECK(has(run.out, "curve full: 4000 to 8600 rpm in 8 speeds"));
    const auto result = json::parse(read_text(stored));
    REQUIRE(result.at("points").size() == 10);
    const auto& first = result.at("points").at(2);
    CHECK(first.at("name") == "full@4000");
    CHECK(first.at("source_pressure_pa").get<double>() == near(200e3, 1e-12));
    // The second step lies on the first stretch of the pressure's table.
    const auto& second = result.at("points").at(3);
    const double speed = 4000 + 4600.0 / 7;
    CHECK(second.at("speed_rpm").get<double>() == near(speed, 1e-9));
    CHECK(second.at("source_pressure_pa").get<double>() ==
          near(200e3 + 55e3 * (speed - 4000) / 3000, 1e-9));
    CHECK(second.at("source_temperature_k").get<double>() ==
          near(306 + 16 * (speed - 4000) / 4600, 1e-9));
    const auto& curve = result.at("curves").at(0);
    REQUIRE(curve.at("points").size() == 8);
    for (std::size_t p = 2; p < 10; ++p) {
        CHECK(spread_of(curve.at("worst")) >= spread_of(result.at("points").at(p)));
    }
    CHECK(curve.at("worst_speed_known_to_rpm").get<double>() <= 5.0);
    CHECK(has(result.at("summary").get<std::string>(), "rpm"));
}

TEST_CASE("curve: no speed of a dense scan has more spread than the worst speed") {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", quick_four(one_curve, 1e-6));
    const auto run = run_plenair({"solve", path, "--bands", "off", "--json"});
    REQUIRE_MESSAGE(run.status == 0, run.err);
    const auto worst = json::parse(run.out).at("curves").at(0).at("worst");
    // 93 speeds, 50 rpm apart, and a fine comb around the answer.
    const double at = worst.at("speed_rpm").get<double>();
    const auto scan = [&](double from, double to, int steps) {
        const auto dense = run_plenair({"solve",
                                        path,
                                        "--bands",
                                        "off",
                                        "--json",
                                        "--set",
                                        "curve.full.from=" + std::to_string(from) + " rpm",
                                        "--set",
                                        "curve.full.to=" + std::to_string(to) + " rpm",
                                        "--set",
                                        "curve.full.steps=" + std::to_string(steps)});
        REQUIRE_MESSAGE(dense.status == 0, dense.err);
        const auto solved = json::parse(dense.out);
        for (const auto& point : solved.at("points")) {
            CAPTURE(point.at("name"));
            // 0.05 % or the 5 rpm to which the speed is known.
            const bool same_speed = std::abs(point.at("speed_rpm").get<double>() - at) <= 5;
            CHECK((same_speed || spread_of(point) <= spread_of(worst) + 0.05));
        }
    };
    scan(4000, 8600, 93);
    scan(std::max(4000.0, at - 40), std::min(8600.0, at + 40), 9);
}

TEST_CASE("curve: a point begun from its neighbour is the point begun from still gas") {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", quick_four(one_curve, 1e-6));
    const auto run = run_plenair({"solve", path, "--bands", "off", "--json"});
    REQUIRE_MESSAGE(run.status == 0, run.err);
    const auto fifth = json::parse(run.out).at("points").at(4);
    const auto rpm = fmt::format("{:.12g} rpm", fifth.at("speed_rpm").get<double>());
    const auto alone = run_plenair({"solve",
                                    path,
                                    "--bands",
                                    "off",
                                    "--json",
                                    "--set",
                                    "curve.full.from=" + rpm,
                                    "--set",
                                    "curve.full.steps=2"});
    REQUIRE_MESSAGE(alone.status == 0, alone.err);
    // Both are periodic to an estimated error of a share of 1e-6.
    CHECK(spread_of(json::parse(alone.out).at("points").at(0)) ==
          near(spread_of(fifth), 0, 4 * 100 * 1e-6));
}

TEST_CASE("curve: one thread and two give the same digits") {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", quick_four(one_curve));
    const auto one = run_plenair({"solve", path, "--json", "--threads", "1"});
    const auto two = run_plenair({"solve", path, "--json", "--threads", "2"});
    REQUIRE(one.status == 0);
    CHECK(one.out == two.out);
}

TEST_CASE("curve: keeps its marks in .h5 and .csv, and trim and report read them back") {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", quick_four(one_curve));
    const auto stored = scratch.path("air.h5"), table = scratch.path("air.csv");
    const auto written = scratch.path("air.json");
    REQUIRE(run_plenair({"solve", path, "--quiet", "--causes", "on", "-o", stored, "--csv", table})
                .status == 0);
    REQUIRE(run_plenair({"solve", path, "--quiet", "--causes", "on", "-o", written}).status == 0);
    const auto lines = split(read_text(table), '\n');
    CHECK(has(lines.at(0), ",curve_text,"));
    CHECK(has(lines.at(1), ",full,"));
    const auto trims = run_plenair({"trim", stored, "--json"});
    REQUIRE_MESSAGE(trims.status == 0, trims.err);
    const auto points = json::parse(trims.out).at("points");
    REQUIRE(points.size() == 8);
    CHECK(points.at(0).at("curve") == "full");
    const auto text = run_plenair({"trim", stored});
    CHECK(has(text.out, "Trims over speed and load"));
    CHECK(has(text.out, "full@8600"));
    // Both files make the same page, with the curve, its target and what moves it.
    std::vector<std::string> pages;
    for (const auto& result : {stored, written}) {
        const auto page = scratch.path("page.html");
        const auto made =
            run_plenair({"report", result, "--no-live", "--time", "now", "--quiet", "-o", page});
        REQUIRE_MESSAGE(made.status == 0, made.err);
        pages.push_back(read_text(page));
    }
    CHECK(pages[0] == pages[1]);
    CHECK(has(pages[0], "class=\"over-speed\""));
    CHECK(has(pages[0], "target 2.0 %"));
    CHECK(has(pages[0], "What moves it"));
}

TEST_CASE("curve: compare, causes and sweep take its points") {
    const ScratchFolder scratch;
    const auto path = scratch.write(
        "case.toml", quick_four(one_curve) + "[sweep]\n" + "\"slot.width\" = \"5, 7 mm\"\n");
    const auto compared = run_plenair({"compare", path});
    REQUIRE_MESSAGE(compared.status == 0, compared.err);
    CHECK(has(compared.out, "full@4000"));
    const auto chosen = run_plenair({"compare", path, "--point", "full@8600"});
    REQUIRE_MESSAGE(chosen.status == 0, chosen.err);
    CHECK(!has(chosen.out, "full@4000"));
    const auto none = run_plenair({"causes", path, "--point", "half"});
    CHECK(none.status == 2);
    CHECK(has(none.err, "no point 'half'; the curves are full, with points such as full@4000"));
    const auto csv = scratch.path("rows.csv");
    const auto swept =
        run_plenair({"sweep", path, "--quiet", "--folder", scratch.path("s"), "--csv", csv});
    REQUIRE_MESSAGE(swept.status == 0, swept.err);
    CHECK(split(read_text(csv), '\n').size() == 1 + 2 * 8);
}

TEST_CASE("curve: what does not make sense gets its sentence") {
    const std::string curve = one_curve;
    CHECK(has(refusal(replaced(curve, "from = \"4000 rpm\"", "from = \"9000 rpm\"")),
              "curve.full.to = 8600 rpm: not above curve.full.from (9000 rpm); exchange the two"));
    CHECK(has(refusal(replaced(curve, "\"4000, 7000, 8600 rpm\"", "\"4500, 7000, 8600 rpm\"")),
              "leave a part of the curve (4000 to 8600 rpm) without a value"));
    CHECK(has(refusal(curve + curve), "a point or another curve has this name"));
    CHECK(has(refusal(replaced(curve, "steps = 8", "steps = 1")), "curve.full.steps = 1"));
    CHECK(has(refusal(replaced(curve, "value = [0.86, 0.80]", "value = [0.86]")),
              "entries of speed but"));
}

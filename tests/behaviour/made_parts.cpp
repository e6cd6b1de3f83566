#include "tests/support/layouts.hpp"
#include "tests/support/near.hpp"
#include "tests/support/quick_four.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

using nlohmann::json;
using plenair::test::quick_four;
using plenair::test::two_points;

namespace {

json answer(const std::vector<std::string>& arguments) {
    const auto run = run_plenair(arguments);
    REQUIRE_MESSAGE(run.status == 0, run.err);
    return json::parse(run.out);
}

std::string gauged(const std::string& widths) {
    return "format = 1\n[measured]\ntitle = \"One insert\"\n[[gauge]]\nentry = \"slot.width\"\n"
           "value = \"" +
           widths +
           " mm\"\nuncertainty = \"0.005 mm\"\n"
           "[[gauge]]\nentry = \"slot.edge_radius\"\nvalue = \"2.0 mm\"\nuncertainty = \"0.02 "
           "mm\"\n";
}

}  // namespace

TEST_CASE("choose --odds: what is promised is what tolerance finds for the chosen design") {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", quick_four(two_points, 1e-6) + R"([choose]
[choose.vary]
"slot.width" = { from = "4 mm", to = "9 mm", step = "0.1 mm" }
"slot.edge_radius" = { from = "0.5 mm", to = "3 mm", step = "0.5 mm" }
[[choose.limit]]
of = "slot_loss"
most = "6 kPa"
)");
    const auto drawn = answer({"choose", path, "--bands", "off", "--json"});
    const auto robust = answer({"choose", path, "--bands", "off", "--json", "--odds", "95"});
    const auto& made = robust.at("made_parts");
    CHECK(robust.at("all_limits_met") == true);
    CHECK(made.at("odds_percent").get<double>() >= 94.5);
    // Room for the parts: the drawn design stands off its limit, the other one at it.
    const auto loss = [](const json& result) {
        double most = 0;
        for (const auto& point : result.at("chosen").at("points")) {
            most = std::max(most, point.at("slot_loss_pa").get<double>());
        }
        return most;
    };
    CHECK(loss(robust) < loss(drawn));
    std::vector<std::string> again = {"tolerance", path, "--json"};
    for (const auto& set : robust.at("sets")) {
        again.insert(again.end(), {"--set", set.get<std::string>()});
    }
    const double promised = made.at("worst_spread_percent").get<double>();
    again.insert(again.end(), {"--set", "tolerance.target=" + std::to_string(promised) + " %"});
    // 4,000 parts there, 10,000 others here: each odds known to 0.7 %.
    CHECK(answer(again).at("odds").at("share_percent").get<double>() == near(95, 0, 1.5));
}

TEST_CASE("tolerance --measured: one verdict on the part that was gauged") {
    const ScratchFolder scratch;
    // A slot so narrow that its profile rules the shares, and runners better made than it.
    const auto path = scratch.write("case.toml", quick_four(two_points, 1e-6) + R"([tolerance]
"runner.diameter" = "0.02 mm"
"runner.length" = "0.02 mm"
)");
    const auto as_drawn =
        scratch.write("drawn.toml", gauged("3.00, 3.00, 3.00, 3.00, 3.00, 3.00, 3.00, 3.00, 3.00"));
    const auto narrow = scratch.write(
        "narrow.toml", gauged("1.50, 1.50, 1.50, 1.50, 3.00, 3.00, 3.00, 3.00, 3.00"));
    const auto told = [&](const std::string& part, double target) {
        return answer({"tolerance",
                       path,
                       "--measured",
                       part,
                       "--json",
                       "--set",
                       "slot.width=3 mm",
                       "--set",
                       "tolerance.target=" + std::to_string(target) + " %"});
    };
    const auto good = told(as_drawn, 6);
    CHECK(good.at("part").at("verdict") == "use");
    CHECK(good.at("part").at("outside_limits").empty());
    // A part with every size as drawn has the drawn part's spread.
    const auto drawn = answer({"tolerance", path, "--json", "--set", "slot.width=3 mm"});
    CHECK(good.at("drawn_spread_percent").get<double>() ==
          near(drawn.at("drawn_spread_percent").get<double>(), 1e-9));
    const auto bad = told(narrow, 6);
    CHECK(bad.at("part").at("outside_limits").size() == 4);
    const double found = bad.at("drawn_spread_percent").get<double>();
    const double opened = good.at("spread_95_percent").get<double>();
    REQUIRE(found > opened + 0.3);
    // Between what it has and what the drawn part has lies a target that rework meets.
    const auto rework = told(narrow, 0.5 * (found + opened));
    CHECK(rework.at("part").at("verdict") == "rework");
    CHECK(has(rework.at("part").at("sentence").get<std::string>(), "open the edge at station"));
    CHECK(told(narrow, 0.3).at("part").at("verdict") == "reject");
    CHECK(told(narrow, found).at("part").at("verdict") == "cannot tell");
}

TEST_CASE("tolerance --measured: eight of nine stations are refused") {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", quick_four(two_points));
    const auto part =
        scratch.write("part.toml", gauged("6.00, 6.00, 6.00, 6.00, 6.00, 6.00, 6.00, 6.00"));
    const auto run = run_plenair({"tolerance", path, "--measured", part});
    CHECK(run.status == 2);
    CHECK(has(run.err, "8 values for the 9 stations of the machining sheet"));
}

TEST_CASE("tolerance --measured: every gauged size is held against its own drawing and limit") {
    const ScratchFolder scratch;
    const auto outside = [&](const std::string& layout,
                             const std::vector<std::string>& sets,
                             const std::string& gauges) {
        const auto part = scratch.write("part.toml", "format = 1\n" + gauges);
        std::vector<std::string> words{"tolerance",
                                       plenair::test::layout_path(layout),
                                       "--measured",
                                       part,
                                       "--json",
                                       "--set",
                                       "tolerance.parts=100",
                                       "--set",
                                       "model.cells=largest cell 100 mm",
                                       "--set",
                                       "model.tolerance=1e-3"};
        for (const auto& set : sets) {
            words.insert(words.end(), {"--set", set});
        }
        return answer(words).at("part").at("outside_limits").get<std::vector<std::string>>();
    };
    // The second bank's slot is narrower than the first one's, and made as drawn but at its end.
    const auto narrow = [&](const std::string& end) {
        return outside("v2-two-banks",
                       {"bank.rear.slot.width=7 mm"},
                       "[[gauge]]\nbank = \"rear\"\nentry = \"slot.width\"\nvalue = \"7, 7.01, "
                       "7, 6.99, 7, 7, 7, 7, " +
                           end + " mm\"\n");
    };
    CHECK(narrow("7").empty());
    const auto wide = narrow("7.3");
    REQUIRE(wide.size() == 1);
    CHECK(has(wide[0], "rear: slot.width at station 9 (x "));
    CHECK(has(wide[0], " is 0.3 mm large, 0.25 mm beyond its limit"));
    // The second bank's runners are those of cylinders 2 and so on.
    const auto runner = outside("v10-side",
                                {},
                                "[[gauge]]\nbank = \"even\"\nentry = \"runner.diameter\"\n"
                                "uncertainty = \"0.01 mm\"\n"
                                "value = \"48.6, 49.1, 48.6, 48.6, 48.6 mm\"\n");
    REQUIRE(runner.size() == 1);
    CHECK(has(runner[0],
              "even: runner.diameter at cylinder 4 is 0.5 mm large, 0.2 mm beyond its limit"));
    // A throttle that was gauged is no longer open to its general limit.
    CHECK(outside("v2-two-banks",
                  {},
                  "[[gauge]]\nbank = \"rear\"\nentry = \"throttle.bore\"\nuncertainty = "
                  "\"0.01 mm\"\nvalue = \"80 mm\"\n")
              .size() == 1);
    // Pieces of other widths, a radius, and in inches what is drawn in inches.
    CHECK(outside("four-two-throttles",
                  {},
                  "[[gauge]]\nentry = \"slot.width\"\nx = \"20, 100, 300, 390 mm\"\nvalue = "
                  "\"5.6, 5.6, 5.2, 5.2 mm\"\n")
              .empty());
    const auto radius =
        outside("v12-two-banks",
                {},
                "[[gauge]]\nbank = \"1\"\nentry = \"slot.edge_radius\"\nvalue = \"0.03 in\"\n");
    REQUIRE(radius.size() == 1);
    CHECK(has(radius[0], "slot.edge_radius is 0."));
    CHECK_FALSE(has(radius[0], "mm"));
}

#include "cases/file/read.hpp"
#include "cases/file/sweep.hpp"
#include "geometry/error.hpp"
#include "tests/support/near.hpp"
#include "tests/support/sweep_case.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <numbers>
#include <set>

#include <fmt/format.h>

// Steps of a range, what may not be swept, and the way back from a row to its case.

using plenair::read_sweep;
using plenair::test::sweep_case;

namespace {

plenair::SweepPlan plan_of(const std::string& sweep, const std::vector<std::string>& sets = {}) {
    const ScratchFolder scratch;
    return read_sweep(scratch.write("case.toml", sweep_case(sweep)), sets);
}

std::string refusal(const std::string& sweep, const std::vector<std::string>& sets = {}) {
    try {
        (void)plan_of(sweep, sets);
    } catch (const plenair::InputError& error) {
        return error.what();
    }
    return {};
}

std::vector<std::string> texts(const plenair::SweepPlan& plan, std::size_t input) {
    std::vector<std::string> found;
    for (const auto& variant : plan.variants(0, plan.info.count)) {
        found.push_back(variant.inputs[input].text);
    }
    return found;
}

plenair::Case case_with(const std::vector<std::string>& sets) {
    return plenair::parse_case(sweep_case("\"slot.width\" = \"4, 5 mm\"\n"), "case.toml", sets);
}

}  // namespace

TEST_SUITE("steps of a range") {
    TEST_CASE("sweep: a Sobol sample of a range with steps takes its steps, each equally often") {
        for (const std::string steps : {"steps = 8", "step = \"1 mm\""}) {
            CAPTURE(steps);
            const auto found = texts(plan_of("method = \"sobol\"\ncount = 8\n\"slot.width\" = { "
                                             "from = \"3 mm\", to = \"10 mm\", " +
                                             steps + " }\n"),
                                     0);
            // Eight points of a (0, 1) sequence in base 2: one in each eighth (Niederreiter 1992).
            const std::set<std::string> each(found.begin(), found.end());
            CHECK(each == std::set<std::string>{
                              "3 mm", "4 mm", "5 mm", "6 mm", "7 mm", "8 mm", "9 mm", "10 mm"});
        }
    }

    TEST_CASE("sweep: a Sobol sample of whole numbers stays whole, and without steps is no grid") {
        const auto plan = plan_of(
            "method = \"sobol\"\ncount = 64\n"
            "\"model.max_cycles\" = { from = 10, to = 30, step = 10 }\n"
            "\"slot.width\" = { from = \"3 mm\", to = \"10 mm\" }\n");
        const auto cycles = texts(plan, 0), widths = texts(plan, 1);
        CHECK(std::set<std::string>(cycles.begin(), cycles.end()) ==
              std::set<std::string>{"10", "20", "30"});
        CHECK(std::set<std::string>(widths.begin(), widths.end()).size() == 64);
    }

    TEST_CASE("sweep: an end that no step reaches is refused with an end and a step that fit") {
        const auto text =
            refusal("\"slot.width\" = { from = \"3 mm\", to = \"10 mm\", step = \"2 mm\" }\n");
        CHECK(has(text, "case.toml:"));
        CHECK(has(text,
                  "slot.width: to = 10 mm is not a whole number of steps of 2 mm from 3 mm; write "
                  "to = \"9 mm\", or step = \"1.75 mm\""));
        CHECK(text.find("slot.width") == text.rfind("slot.width"));  // once
        CHECK(
            has(refusal("\"slot.width\" = { from = \"8 mm\", to = \"3 mm\", step = \"-2 mm\" }\n"),
                "write to = \"4 mm\", or step = \"-2.5 mm\""));
        CHECK(has(refusal("\"slot.width\" = { from = \"3 mm\", to = \"4 mm\", step = \"5 mm\" }\n"),
                  "write to = \"8 mm\", or step = \"1 mm\""));
        CHECK(has(refusal("\"model.max_cycles\" = { from = 10, to = 20, step = 3 }\n"),
                  "write to = 19, or step = 2"));
    }

    TEST_CASE("sweep: the end and the step that a refusal names are accepted") {
        for (const std::string range : {"to = \"9 mm\", step = \"2 mm\"",
                                        "to = \"10 mm\", step = \"1.75 mm\"",
                                        "to = \"3.7 mm\", step = \"0.1 mm\""}) {
            CAPTURE(range);
            const std::string entry = "\"slot.width\" = { from = \"3 mm\", " + range + " }\n";
            CHECK(refusal(entry).empty());
        }
        CHECK(texts(plan_of("\"slot.width\" = { from = \"3 mm\", to = \"3.7 mm\", step = "
                            "\"0.1 mm\" }\n"),
                    0)
                  .back() == "3.7 mm");
    }
}

TEST_SUITE("what does not vary") {
    TEST_CASE("sweep: settings of the section are no entries of the case") {
        for (const auto& wrong : std::vector<std::pair<std::string, std::string>>{
                 {"\"sweep.count\" = [1, 2]\n", "write count = 1000 in [sweep]"},
                 {"\"sweep.method\" = [\"grid\", \"sobol\"]\n", "write method = \"sobol\""},
                 {"sweep.seed = [1, 2]\n", "write seed = 1 in [sweep]"}}) {
            CAPTURE(wrong.first);
            const auto text = refusal("\"slot.width\" = \"4, 5 mm\"\n" + wrong.first);
            CHECK(has(text, "is not an entry of the case and cannot vary"));
            CHECK(has(text, wrong.second));
        }
    }

    TEST_CASE("sweep: a swept point that is not there is named as written") {
        CHECK(has(refusal("\"point.A9.speed\" = [\"4000 rpm\", \"5000 rpm\"]\n"),
                  "point.A9.speed: name one of top, as in point.top.<key>"));
    }

    TEST_CASE("sweep: --set of a swept entry is refused, by whatever name, and of others is not") {
        const std::string sweep =
            "\"slot.width\" = \"4, 5 mm\"\n\"point.top.speed\" = \"8000, 8600 rpm\"\n";
        CHECK(
            has(refusal(sweep, {"slot.width=9 mm"}),
                "--set: slot.width=9 mm: slot.width is swept, so this value would never be used"));
        CHECK(has(refusal(sweep, {"point.1.speed = 7000 rpm"}), "point.1.speed is swept"));
        CHECK(refusal(sweep, {"slot.land=7 mm"}).empty());
    }

    TEST_CASE("sweep: an entry that stands twice is named once, as written") {
        CHECK(has(refusal("\"slot.width\" = \"4, 5 mm\"\n\"slot.width\" = \"6, 7 mm\"\n"),
                  "cannot redefine existing string '\"slot.width\"'"));
        CHECK(has(refusal("\"slot.width\" = { from = \"3 mm\", \"from\"=\"4 mm\" }\n"),
                  "cannot redefine existing string '\"from\"'"));
    }
}

TEST_SUITE("from a row to its case") {
    TEST_CASE("sweep: a value of a row, written as the page on results says, is that value again") {
        const auto plan = plan_of(
            "method = \"paired\"\n"
            "\"valve.intake.closes\" = [\"64 deg ABDC\", \"76.217 deg ABDC\"]\n"
            "\"valve.exhaust.opens\" = [\"66 deg BBDC\", \"70.3 deg BBDC\"]\n"
            "\"combustion.start\" = [\"20 deg BTDC\", \"15.5 deg BTDC\"]\n"
            "\"point.top.pressure\" = \"230, 250 kPa abs\"\n"
            "\"slot.width\" = \"4, 5.5 mm\"\n");
        const double degree = std::numbers::pi / 180.0;
        const auto row = plan.variants(1, 1)[0];
        REQUIRE(row.failure.empty());
        // In the CSV angles are degrees, pressures kPa and widths mm.
        const auto in_degrees = [&](std::size_t input) {
            return fmt::format("{:.12g} deg after firing TDC", row.inputs[input].number / degree);
        };
        CHECK(in_degrees(0) == "616.217 deg after firing TDC");
        const auto again = case_with(
            {"valve.intake.closes=" + in_degrees(0),
             "valve.exhaust.opens=" + in_degrees(1),
             "combustion.start=" + in_degrees(2),
             fmt::format("point.top.pressure={:.12g} kPa abs", row.inputs[3].number / 1e3),
             fmt::format("slot.width={:.12g} mm", row.inputs[4].number * 1e3)});
        CHECK(again.engine.intake.closes == near(row.c.engine.intake.closes, 1e-12));
        CHECK(again.engine.exhaust.opens == near(row.c.engine.exhaust.opens, 1e-12));
        CHECK(again.points[0].combustion.start == near(row.c.points[0].combustion.start, 1e-12));
        CHECK(again.points[0].pressure == near(row.c.points[0].pressure, 1e-12));
        CHECK(again.intake.banks[0].slot->area() ==
              near(row.c.intake.banks[0].slot->area(), 1e-12));
    }
}

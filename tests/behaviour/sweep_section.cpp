#include "cases/file/sweep.hpp"
#include "geometry/error.hpp"
#include "tests/support/near.hpp"
#include "tests/support/sweep_case.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <set>

using plenair::read_sweep;
using plenair::SweepPlan;
using plenair::test::sweep_case;

namespace {

SweepPlan plan_of(const std::string& sweep, const std::vector<std::string>& sets = {}) {
    const ScratchFolder scratch;
    return read_sweep(scratch.write("case.toml", sweep_case(sweep)), sets);
}

/// All messages of a section that must be refused; empty where it was not.
std::string refusal(const std::string& sweep, std::size_t limit = 1000000) {
    const ScratchFolder scratch;
    try {
        (void)read_sweep(scratch.write("case.toml", sweep_case(sweep)), {}, {limit});
    } catch (const plenair::InputError& error) {
        return error.what();
    }
    return {};
}

std::vector<double> column(const SweepPlan& plan, std::size_t input) {
    std::vector<double> values;
    for (const auto& variant : plan.variants(0, plan.info.count)) {
        values.push_back(variant.inputs[input].number);
    }
    return values;
}

}  // namespace

TEST_SUITE("values") {
    TEST_CASE("sweep: a grid takes every combination, the last entry changing fastest") {
        const auto plan = plan_of(
            "\"slot.width\" = [\"4 mm\", \"6 mm\"]\n\"slot.edge_radius\" = \"1, 2, 3 mm\"\n");
        REQUIRE(plan.info.count == 6);
        CHECK(plan.info.inputs[0].key == "slot.width");
        CHECK(plan.info.inputs[0].units == "m");
        CHECK(column(plan, 0) == std::vector<double>{4e-3, 4e-3, 4e-3, 6e-3, 6e-3, 6e-3});
        CHECK(column(plan, 1) == std::vector<double>{1e-3, 2e-3, 3e-3, 1e-3, 2e-3, 3e-3});
    }

    TEST_CASE("sweep: a range gives the numbers that a person would write") {
        const auto by_count =
            plan_of("\"slot.width\" = { from = \"3 mm\", to = \"10 mm\", steps = 8 }\n");
        const auto by_step =
            plan_of("\"slot.width\" = { from = \"3 mm\", to = \"10 mm\", step = \"1 mm\" }\n");
        const auto listed = plan_of("\"slot.width\" = \"3, 4, 5, 6, 7, 8, 9, 10 mm\"\n");
        CHECK(column(by_count, 0) == column(listed, 0));
        CHECK(column(by_step, 0) == column(listed, 0));
        CHECK(by_count.variants(6, 1)[0].inputs[0].text == "9 mm");
        const auto falling =
            plan_of("\"slot.width\" = { from = \"10 mm\", to = \"9 mm\", step = \"-0.5 mm\" }\n");
        CHECK(column(falling, 0) == column(plan_of("\"slot.width\" = \"10, 9.5, 9 mm\"\n"), 0));
    }

    TEST_CASE("sweep: paired lists go together") {
        const auto plan = plan_of(
            "method = \"paired\"\n\"slot.width\" = \"4, 5 mm\"\n"
            "\"plenum.area\" = [\"5600 mm2\", \"6400 mm2\"]\n");
        REQUIRE(plan.info.count == 2);
        CHECK(column(plan, 1)[0] == near(5600e-6, 1e-12));
        CHECK(column(plan, 1)[1] == near(6400e-6, 1e-12));
    }

    TEST_CASE("sweep: every variant is the case with that entry set") {
        const ScratchFolder scratch;
        const auto path = scratch.write(
            "case.toml",
            sweep_case("\"point.top.speed\" = [\"5000 rpm\", \"6000 rpm\"]\n"
                       "\"plenum.area\" = [\"6000 mm2\", { x = \"0, 400 mm\", value = \"7000, 5000 "
                       "mm2\" }]\n\"model.jet\" = [\"on\", \"off\"]\n\"throttle.bore\" = [\"66 "
                       "mm\"]\n"));
        const auto plan = read_sweep(path, {});
        REQUIRE(plan.info.count == 8);
        CHECK_FALSE(plan.info.inputs[1].numeric);
        const auto last = plan.variants(7, 1)[0];
        CHECK(last.failure.empty());
        CHECK(last.c.points[0].speed == near(6000 * std::acos(-1.0) / 30, 1e-12));
        CHECK(last.c.intake.banks[0].plenum->area.at(0) == near(7000e-6, 1e-12));
        CHECK(last.c.intake.banks[0].throttles[0].bore == near(66e-3, 1e-12));
        CHECK_FALSE(last.c.model.jet);
        CHECK(plan.variants(0, 1)[0].c.model.jet);
    }

    TEST_CASE("sweep: a Sobol sample fills the space, and depends on its seed and number alone") {
        const std::string axes =
            "method = \"sobol\"\ncount = 64\n"
            "\"slot.width\" = { from = \"4 mm\", to = \"8 mm\" }\n"
            "\"slot.edge_radius\" = { from = \"1 mm\", to = \"3 mm\" }\n"
            "\"plenum.area\" = [\"5600 mm2\", \"6400 mm2\"]\n";
        const auto plan = plan_of(axes);
        REQUIRE(plan.info.count == 64);
        const auto width = column(plan, 0), radius = column(plan, 1), area = column(plan, 2);
        // 64 points of a (0, 2) sequence in base 2: each of 8 x 8 boxes holds exactly one
        // (Niederreiter 1992, chapter 4).
        std::set<std::pair<int, int>> boxes;
        double larger = 0;
        for (std::size_t i = 0; i < 64; ++i) {
            boxes.emplace(static_cast<int>((width[i] - 4e-3) / 0.5e-3),
                          static_cast<int>((radius[i] - 1e-3) / 0.25e-3));
            larger += area[i] > 6000e-6 ? 1 : 0;
        }
        CHECK(boxes.size() == 64);
        CHECK(larger == 32);
        CHECK(plan.variants(37, 1)[0].inputs[0].number == width[37]);
        CHECK(column(plan_of(axes), 0) == width);
        CHECK(column(plan_of("seed = 2\n" + axes), 0) != width);
    }

    TEST_CASE("sweep: the section changes neither digest nor result of the other verbs") {
        const ScratchFolder scratch;
        const auto bare = plan_of("\"slot.width\" = \"4, 5 mm\"\n");
        const auto other = plan_of("\"slot.width\" = \"4, 5, 6 mm\"\n");
        CHECK(bare.info.case_digest == other.info.case_digest);
        CHECK(bare.info.digest != other.info.digest);
        CHECK(plan_of("\"slot.width\" = \"4, 5 mm\"\n", {"slot.land=7 mm"}).info.digest !=
              bare.info.digest);
    }
}

TEST_SUITE("refused") {
    TEST_CASE("sweep: an entry that does not exist is refused in the usual words") {
        CHECK(has(refusal("\"slot.widht\" = [\"4 mm\"]\n"),
                  "unknown key slot.widht; did you mean slot.width?"));
        CHECK(has(refusal("\"point.B7.speed\" = [\"4000 rpm\"]\n"),
                  "point.B7.speed: name one of top, as in"));
        CHECK(has(refusal("cuont = 5\n"), "unknown key sweep.cuont; did you mean sweep.count?"));
        CHECK(has(refusal("\"slot\" = [\"4 mm\"]\n"), "slot: is a section"));
        CHECK(has(refusal("\"point.top.name\" = [\"a\"]\n"), "is only a text"));
        CHECK(has(refusal("\"bench.depression\" = [\"28 inH2O\"]\n"), "has no effect"));
        CHECK(has(refusal(""), "names nothing to vary"));
    }

    TEST_CASE("sweep: a value is checked as if it stood in the file, with its place") {
        CHECK(has(refusal("\"slot.width\" = [\"4 mm\", 5]\n"), "slot.width = 5: no unit"));
        CHECK(has(refusal("\"slot.width\" = [\"4 kPa\"]\n"), "slot.width = 4 kPa"));
        CHECK(has(refusal("\"slot.width\" = [\"4 kPa\"]\n"), "case.toml:"));
        CHECK(has(refusal("\"slot.width\" = \"0, 4 mm\"\n"), "slot.width = 0 mm"));
        CHECK(has(refusal("\"slot.width\" = { from = \"3 mm\", to = \"1 in\", steps = 3 }\n"),
                  "write both ends in one unit"));
        CHECK(has(refusal("\"slot.width\" = \"4 mm\"\n"), "is one value"));
        CHECK(
            has(refusal("\"slot.width\" = { from = \"3 mm\", to = \"4 mm\" }\n"), "without steps"));
        CHECK(has(refusal("\"slot.width\" = { from = \"3 mm\", to = \"4 mm\", stpes = 2 }\n"),
                  "did you mean steps?"));
        CHECK(has(refusal("\"model.max_cycles\" = { from = 10, to = 15, steps = 3 }\n"),
                  "not whole numbers"));
    }

    TEST_CASE("sweep: a step of the wrong sign is refused with the count it gives") {
        const auto text =
            refusal("\"slot.width\" = { from = \"3 mm\", to = \"8 mm\", step = \"-1 mm\" }\n");
        CHECK(has(text, "leads away from"));
        CHECK(has(text, "0 values"));
        CHECK(has(text, "write step = \"1 mm\""));
    }

    TEST_CASE("sweep: more variants than the limit are refused with both numbers") {
        const std::string two_million =
            "\"slot.width\" = { from = \"3 mm\", to = \"8 mm\", steps = 2000 }\n"
            "\"slot.edge_radius\" = { from = \"1 mm\", to = \"3 mm\", steps = 1000 }\n";
        const auto text = refusal(two_million);
        CHECK(has(text, "2000000 variants, the limit is 1000000"));
        CHECK(has(text, "--limit"));
        CHECK(refusal(two_million, 2000000).empty());
        CHECK(
            has(refusal("method = \"sobol\"\ncount = 2000000\n\"slot.width\" = { from = \"3 mm\", "
                        "to = \"8 mm\" }\n"),
                "2000000 variants"));
    }

    TEST_CASE("sweep: lists that do not pair, and settings that do not fit, are refused") {
        CHECK(has(refusal("method = \"paired\"\n\"slot.width\" = \"4, 5 mm\"\n\"slot.land\" = \"6, "
                          "7, 8 mm\"\n"),
                  "3 values, but slot.width has 2"));
        CHECK(has(refusal("count = 5\n\"slot.width\" = \"4, 5 mm\"\n"), "takes every value"));
        CHECK(has(refusal("method = \"sobol\"\n\"slot.width\" = \"4, 5 mm\"\n"),
                  "sweep.count: missing"));
        CHECK(has(refusal("method = \"random\"\n\"slot.width\" = \"4, 5 mm\"\n"), "sweep.method"));
        CHECK(has(refusal("\"slot.width\" = \"4, 5 mm\"\nslot.width = \"6, 7 mm\"\n"),
                  "is swept twice"));
    }

    TEST_CASE("sweep: a swept barometer does not go with gauge pressures") {
        const ScratchFolder scratch;
        auto text = sweep_case("\"site.barometer\" = \"90, 95 kPa abs\"\n");
        CHECK_NOTHROW(read_sweep(scratch.write("case.toml", text), {}));
        text.replace(text.find("250 kPa abs"), 11, "22 psi g");
        CHECK_THROWS_WITH_AS(read_sweep(scratch.write("case.toml", text), {}),
                             doctest::Contains("point.top.pressure = 22 psi g refers to it"),
                             plenair::InputError);
    }

    TEST_CASE("sweep: a case without [sweep] is refused with what to write") {
        CHECK_THROWS_WITH_AS(
            read_sweep(std::string(PLENAIR_SOURCE_DIR) + "/cases/shipped/hill-climb-four/case.toml",
                       {}),
            doctest::Contains("no [sweep]: name what to vary"),
            plenair::InputError);
    }
}

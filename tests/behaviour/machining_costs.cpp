#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "cases/file/read.hpp"
#include "cases/study/machining.hpp"
#include "geometry/error.hpp"
#include "tests/support/near.hpp"

namespace {

const std::string shipped_case = "cases/shipped/hill-climb-four/case.toml";

plenair::MachiningSheet sheet_of(const std::vector<std::string>& sets) {
    return plenair::machining_sheets(plenair::read_case(shipped_case, sets), {}).front();
}

/// Half a unit of the last printed digit: the figures below are given to one or two decimals of a
/// percent.
constexpr double tenth = 0.0005;
constexpr double hundredth = 0.00005;

}  // namespace

TEST_SUITE("what a deviation costs") {
    // Worked from McGreehan and Schotsch, ASME 87-GT-162 (1988), at Re 1e5 by hand.
    TEST_CASE("machining: 0.05 mm on a 6 mm slot is worth 0.66 % of its flow") {
        const auto sheet = sheet_of({});
        CHECK(sheet.width_step == near(0.05e-3, 1e-12));
        CHECK(sheet.of_width_step.larger == near(0.0066, 0, hundredth));
        CHECK(sheet.of_width_step.smaller == near(-0.0066, 0, hundredth));
        CHECK(sheet.of_width_limit.larger == near(sheet.of_width_step.larger, 1e-9));
    }

    TEST_CASE("machining: a radius of 2.0 +/-0.2 mm is worth -1.4 to +1.3 %") {
        const auto sheet = sheet_of({});
        CHECK(sheet.of_radius_limit.larger == near(0.013, 0, tenth));
        CHECK(sheet.of_radius_limit.smaller == near(-0.014, 0, tenth));
        CHECK(sheet.of_radius_step.larger > 0.4 * sheet.of_radius_limit.larger);
    }

    TEST_CASE("machining: a sharp edge broken by 0.5 mm passes 7.8 % more") {
        CHECK(sheet_of({}).of_broken_edge == near(0.078, 0, tenth));
        CHECK(sheet_of({"slot.edge_radius=0 mm"}).of_broken_edge == near(0.078, 0, tenth));
    }

    TEST_CASE("machining: a taper changes the distribution and not the total") {
        const auto sheet = sheet_of({"slot.taper_tolerance=0.1 mm"});
        CHECK(sheet.of_taper_total == near(0, 0, 1e-5));
        // The ends differ as widths of 6.05 and 5.95 mm do.
        CHECK(sheet.of_taper_ends == near(0.0133, 0, 0.0001));
    }

    TEST_CASE("machining: a stated cd sets the dimensions aside, but not what they cost") {
        const auto drawn = sheet_of({});
        const auto stated = sheet_of({"slot.cd=0.7"});
        CHECK(stated.of_width_step.larger == near(drawn.of_width_step.larger, 1e-12));
        CHECK(stated.of_radius_step.larger == near(drawn.of_radius_step.larger, 1e-12));
        const auto exact = sheet_of({"model.slot_edge=sharp_exact"});
        CHECK(exact.of_radius_step.larger == near(drawn.of_radius_step.larger, 1e-12));
    }

    TEST_CASE("machining: twice the width passes less than twice as much") {
        auto slot = plenair::read_case(shipped_case, {}).intake.banks.front().slot.value();
        const plenair::Model model;
        const double wide = plenair::slot_flow_change(slot, model, 6e-3, 0);
        CHECK(wide > 0.5);
        CHECK(wide < 1.0);  // Cd falls as the same radius becomes smaller against the width
        CHECK(plenair::slot_flow_change(slot, model, 0, 0) == near(0, 0, 1e-15));
        CHECK(plenair::slot_flow_change(slot, model, -7e-3, 0) == near(-1, 0, 1e-15));
    }
}

TEST_SUITE("stations") {
    TEST_CASE("machining: nine stations lie along the slot, evenly, off its ends") {
        const auto sheet = sheet_of({});
        REQUIRE(sheet.stations.size() == 9);
        CHECK(sheet.stations.front().x == near(12e-3, 1e-9));
        CHECK(sheet.stations[4].x == near(200e-3, 1e-9));
        CHECK(sheet.stations.back().x == near(388e-3, 1e-9));
        for (const auto& station : sheet.stations) {
            CHECK(station.width.nominal == near(6e-3, 1e-12));
            CHECK(station.go == near(5.95e-3, 1e-9));
            CHECK(station.no_go == near(6.05e-3, 1e-9));
        }
    }

    TEST_CASE("machining: a slot that widens has a size at each station") {
        const auto sheet =
            sheet_of({"slot.width={ x = \"0, 388 mm\", value = \"5.612, 6.388 mm\" }"});
        CHECK(sheet.stations[4].width.nominal == near(6e-3, 1e-9));
        const auto& first = sheet.stations.front();
        // 5.612 + 6.388/388 x 0.776 mm at 6.4 mm from the start of the slot.
        const double width = 5.612e-3 + 0.776e-3 * (first.x - 6e-3) / 388e-3;
        CHECK(first.width.nominal == near(width, 1e-9));
        CHECK(first.go >= width - 0.05e-3 - 1e-12);
        CHECK(first.go <= width - 0.04e-3);
        CHECK(first.no_go <= width + 0.05e-3 + 1e-12);
    }

    TEST_CASE("machining: pieces share nine stations, a row of holes has one each") {
        const std::string parts = R"(format = 1
[case]
title = "Rig"
[source]
pressure = "101 kPa abs"
temperature = "293 K"
[pre_chamber]
length = "400 mm"
area = "2000 mm2"
feed = "open"
[slot]
land = "5 mm"
edge_radius = "1 mm"
)";
        const auto sheet = [&parts](const std::string& rest) {
            return plenair::machining_sheets(plenair::parse_case(parts + rest, "case.toml", {}), {})
                .front();
        };
        const auto pieces = sheet(
            "pieces = [{ x = \"10 mm\", length = \"240 mm\", width = \"4 mm\" }, { x = \"270 mm\", "
            "length = \"120 mm\", width = \"5 mm\" }]\n");
        REQUIRE(pieces.stations.size() == 9);
        CHECK(std::count_if(pieces.stations.begin(), pieces.stations.end(), [](const auto& each) {
                  return each.piece == 0;
              }) == 6);
        CHECK(pieces.stations.back().go == near(4.95e-3, 1e-9));
        const auto holes = sheet("holes = { x = \"40, 120, 200 mm\", diameter = \"18.5 mm\" }\n");
        REQUIRE(holes.stations.size() == 3);
        CHECK(holes.stations[1].x == near(120e-3, 1e-12));
        CHECK(holes.stations[1].no_go == near(18.55e-3, 1e-9));
        CHECK(holes.of_width_step.larger > 2 * 0.05 / 18.5 * 0.9);
    }
}

TEST_SUITE("errors") {
    TEST_CASE("machining: no sheet without an edge specification") {
        auto c = plenair::read_case("cases/shipped/header-rig/case.toml", {});
        CHECK_THROWS_WITH_AS(
            plenair::machining_sheets(c, {}),
            doctest::Contains("the edge radius decides 8 % of flow; write edge_radius"),
            plenair::InputError);
        CHECK_THROWS_WITH_AS(plenair::machining_sheets(c, {}),
                             doctest::Contains("slot.land: missing"),
                             plenair::InputError);
        CHECK_THROWS_WITH_AS(plenair::machining_sheets(
                                 plenair::read_case("cases/shipped/marine-six/log.toml", {}), {}),
                             doctest::Contains("no slot in this case"),
                             plenair::InputError);
    }

    TEST_CASE("machining: a tolerance as large as its dimension is named") {
        const auto text = [](const std::string& set) {
            try {
                (void)plenair::read_case(shipped_case, {set});
            } catch (const plenair::InputError& error) {
                return std::string(error.what());
            }
            return std::string();
        };
        CHECK(text("slot.width_tolerance=4 mm").empty());
        CHECK(text("slot.edge_radius_tolerance=2 mm").find("slot.edge_radius_tolerance = ") !=
              std::string::npos);
        CHECK(text("slot.edge_radius_tolerance=2 mm")
                  .find("not smaller than the edge radius of 2 mm; write a smaller tolerance") !=
              std::string::npos);
        CHECK(text("slot.land_tolerance=9 mm").find("the land of 8 mm") != std::string::npos);
        CHECK(text("slot.taper_tolerance=5 mm").empty());
    }
}

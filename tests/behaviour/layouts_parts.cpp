#include "cases/file/tolerance.hpp"
#include "geometry/slot_holes.hpp"
#include "tests/support/layouts_said.hpp"
#include "tests/support/near.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

/// Words for what a layout has not, or has otherwise: one cylinder, holes, a slot in one bank only.

using namespace plenair;
using namespace plenair::test;
using nlohmann::json;

namespace {

/// A layout with one piece of its text replaced.
std::string changed(const ScratchFolder& scratch,
                    const std::string& name,
                    const std::string& piece,
                    const std::string& by) {
    auto text = read_text(layout_path(name));
    const auto at = text.find(piece);
    REQUIRE(at != std::string::npos);
    return scratch.write(name + ".toml", text.replace(at, piece.size(), by));
}

/// The single cylinder of the gallery with a chamber and a slot beside its plenum.
/// @param feeds  what its throttle opens into
std::string single_with_slot(const ScratchFolder& scratch, const std::string& feeds) {
    return changed(scratch,
                   "one-log",
                   "feeds = \"plenum\"\n\n[plenum]",
                   "feeds = \"" + feeds +
                       "\"\n\n[pre_chamber]\nlength = \"160 mm\"\narea = \"2600 mm2\"\n[slot]\n"
                       "x = \"10 mm\"\nlength = \"140 mm\"\nwidth = \"7 mm\"\nland = \"6 mm\"\n"
                       "edge_radius = \"1 mm\"\n[plenum]");
}

}  // namespace

TEST_CASE("layouts: of one cylinder no verb tells a spread, a leanest one or a cause") {
    const ScratchFolder scratch;
    const auto path = single_with_slot(scratch, "pre_chamber");
    const auto solved = printed({"solve", path});
    CHECK(has(solved, "One cylinder gets all the air: there is no spread."));
    CHECK(has(solved, "The slot has nothing to even and costs up to "));
    CHECK(has(solved, "% of the air: take the wall out."));
    CHECK_FALSE(has(solved, " of a bias"));
    CHECK_FALSE(has(solved, "not computed"));
    CHECK_FALSE(has(solved, "0.00 %,"));
    const auto trimmed = printed({"trim", path, "--bands", "off"});
    CHECK(has(trimmed, "there is nothing to trim against another"));
    CHECK_FALSE(has(trimmed, "leanest on equal fuel"));
    CHECK(has(printed({"causes", path, "--point", "low"}),
              "low: one cylinder gets all the air: there is no spread."));
    const auto compared =
        printed({"compare", path, "--vary", "slot.width=6, 8 mm", "--point", "low"});
    CHECK(has(compared,
              "one cylinder gets all the air: there is no spread; least slot loss at 8 mm"));
    CHECK_FALSE(has(compared, "will not help"));
    CHECK_FALSE(has(compared, "told apart"));
}

TEST_CASE("layouts: a slot to a closed room has no loss, and the case is warned of it") {
    const ScratchFolder scratch;
    const auto path = single_with_slot(scratch, "plenum");
    const std::string words = "throttle.feeds: no throttle opens into the pre-chamber";
    CHECK(has(printed({"check", path}), "warning: " + path + ":44:9: " + words));
    const auto solved = json::parse(printed({"solve", path, "--bands", "off", "--json"}));
    for (const auto& point : solved.at("points")) {
        CHECK(point.at("loss_pa").at("slot") == 0);
        CHECK(point.at("banks").at(0).at("slot_loss_pa") == 0);
    }
    CHECK_FALSE(has(printed({"check", single_with_slot(scratch, "pre_chamber")}), words));
}

TEST_CASE("layouts: an entry without its bank moves the banks that have the part") {
    const ScratchFolder scratch;
    auto text = read_text(layout_path("v2-two-banks"));
    const auto chamber = text.rfind("[bank.pre_chamber]");
    REQUIRE(chamber != std::string::npos);
    text.erase(chamber, text.find("[bank.plenum]", chamber) - chamber);
    const auto path = scratch.write("mixed.toml", text);
    const Case c = read_case(path, {});
    REQUIRE(c.intake.banks.front().slot.has_value());
    REQUIRE_FALSE(c.intake.banks.back().slot.has_value());
    const auto digest = [&](const std::string& key) {
        const auto set = key + (c.units.inches() ? "=0.25 in" : "=6 mm");
        return json::parse(printed({"check", path, "--json", "--set", set})).at("case_digest");
    };
    CHECK(digest("slot.width") == digest("bank." + c.intake.banks.front().name + ".slot.width"));
}

TEST_CASE("layouts: holes are called holes, by their diameter") {
    const ScratchFolder scratch;
    const auto path = layout_path("six-holes");
    printed({"draw", path, "--sheet", "--quiet", "-o", scratch.path("s.html")});
    printed({"draw", path, "--quiet", "-o", scratch.path("d.svg")});
    const auto sheet = visible(read_text(scratch.path("s.html")));
    const auto drawn = visible(read_text(scratch.path("d.svg")));
    for (const char* part : {"Machining sheet: row of holes",
                             "Diameter of each hole",
                             "Diameter, everywhere, by",
                             "of diameter.",
                             "every hole alike and all round",
                             "Flow through the holes"}) {
        CAPTURE(part);
        CHECK(has(sheet, part));
    }
    for (const char* part : {"sides of the slot", "end to end", "Width", "along the length"}) {
        CAPTURE(part);
        CHECK_FALSE(has(sheet, part));
    }
    CHECK(has(drawn, "Holes tolerances: diameter"));
    CHECK(has(drawn, "Row of holes, seen from the pre-chamber"));
    CHECK_FALSE(has(drawn, "taper"));
}

TEST_CASE("layouts: beside pieces or holes a width says what to write instead, and that works") {
    const auto refused =
        run_plenair({"check", layout_path("six-holes"), "--set", "slot.width=6 mm"});
    CHECK(refused.status == 2);
    CHECK(has(refused.err, "give one of them, or write slot.holes.diameter for the holes"));
    const auto pieces =
        run_plenair({"check", layout_path("four-two-throttles"), "--set", "slot.width=6 mm"});
    CHECK(has(pieces.err, "or write slot.pieces.1.width for the first piece"));
    printed({"check", layout_path("six-holes"), "--set", "slot.holes.diameter=13 mm"});
    printed({"check", layout_path("four-two-throttles"), "--set", "slot.pieces.1.width=6 mm"});
    CHECK(
        has(run_plenair({"check", layout_path("six-holes"), "--set", "throttle.diamter=70 mm"}).err,
            "did you mean throttle.bore?"));
}

TEST_CASE("layouts: where no slot is, or another entry is compared, all losses are weighed") {
    for (const std::string name : {"eight-numbered-back", "four-two-throttles"}) {
        const auto j = json::parse(printed({"compare",
                                            layout_path(name),
                                            "--vary",
                                            "runner.bell_radius=6, 9 mm",
                                            "--point",
                                            "low",
                                            "--set",
                                            "model.cells=largest cell 80 mm",
                                            "--json"}));
        CHECK(j.at("weighed_loss") == "all");
        for (const auto& value : j.at("over_points").at("values")) {
            CHECK(value.at("weighed_loss_pa").get<double>() >
                  value.at("slot_loss_pa").get<double>() + 100);
        }
        CHECK_FALSE(has(j.dump(), "more slot loss"));
    }
}

TEST_CASE("layouts: throttles side by side in one end wall are one opening of their whole area") {
    const ScratchFolder scratch;
    const auto solved = [&](const std::string& throttles) {
        auto text = read_text(layout_path("four-two-throttles"));
        const auto from = text.find("[[throttle]]"), to = text.find("[pre_chamber]");
        text.replace(from, to - from, throttles);
        const std::string narrow = "area = \"3300 mm2\"";  // no diffuser would find room
        text.replace(text.find(narrow), narrow.size(), "area = \"6600 mm2\"");
        const auto path = scratch.write("case.toml", coarse(text, false));
        return json::parse(printed({"solve", path, "--bands", "off", "--json", "--quiet"}));
    };
    const auto throttle = [](const std::string& head, double scale, const std::string& more) {
        return fmt::format(
            "{}\nbore = \"{:.12g} mm\"\nshaft = \"{:.12g} mm\"\n"
            "position = \"end\"\n{}\n",
            head,
            46 * scale,
            8 * scale,
            more);
    };
    // With a diffuser there is no jet, and nothing but the area counts.
    for (const std::string more : {"recovery = 0.5\n", ""}) {
        CAPTURE(more);
        const auto each = throttle("[[throttle]]", 1, more);
        const auto two = solved(each + each);
        const auto one = solved(throttle("[throttle]", std::sqrt(2.0), more));
        for (std::size_t p = 0; p < 2; ++p) {
            const auto &a = two["points"][p], &b = one["points"][p];
            CHECK(a["slot_to_throttle_area_ratio"].get<double>() ==
                  near(b["slot_to_throttle_area_ratio"].get<double>(), 1e-9));
            const double same = more.empty() ? 5e-3 : 1e-6;
            CHECK(a["air_flow_kg_s"].get<double>() == near(b["air_flow_kg_s"].get<double>(), same));
            CHECK(a["loss_pa"]["throttle"].get<double>() ==
                  near(b["loss_pa"]["throttle"].get<double>(), 20 * same));
        }
    }
}

TEST_CASE("layouts: the size of holes has a tolerance, and a square hole is no circle") {
    const auto plan = read_tolerance(layout_path("six-holes"), {});
    const auto found = std::find_if(plan.dimensions.begin(), plan.dimensions.end(), [](auto& each) {
        return each.key == "slot.holes.diameter";
    });
    REQUIRE(found != plan.dimensions.end());
    CHECK(found->limit == near(5e-5, 1e-12));
    Case moved = plan.base;
    found->move(moved, 5e-5);
    for (const auto& hole : moved.intake.banks.front().slot->holes) {
        CHECK(geometry::is_round(hole));
        CHECK(hole.length == near(14.05e-3, 1e-12));
        CHECK(hole.area == near(0.25 * std::numbers::pi * 14.05e-3 * 14.05e-3, 1e-12));
    }
    const geometry::SlotHole square{0, 0.01, 1e-4, 0.01};
    CHECK_FALSE(geometry::is_round(square));
    CHECK(geometry::hole_width(square) == near(0.01, 1e-12));
    const auto wide = geometry::widened(square, 1e-3);
    CHECK(wide.length == near(0.01, 1e-12));
    CHECK(wide.area == near(1.1e-4, 1e-12));
    CHECK(wide.hydraulic_diameter == near(2 * 1.1e-4 / 0.021, 1e-12));
}

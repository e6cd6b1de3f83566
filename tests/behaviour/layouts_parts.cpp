#include "tests/support/layouts_said.hpp"
#include "tests/support/near.hpp"

#include <nlohmann/json.hpp>

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
    CHECK(has(solved, "% of the air: leave it out."));
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

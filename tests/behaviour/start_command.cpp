// plenair start: from what a designer knows by heart to a case that checks without a warning of its
// metal and solves.

#include "cases/file/read.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/text.hpp"

#include <array>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

namespace {

using Words = std::vector<std::string>;
using Json = nlohmann::json;

struct Layout {
    const char* name;
    Words options;
    int cylinders;
    std::size_t banks;
};

Words with(const Words& head, const Words& more) {
    Words all = head;
    all.insert(all.end(), more.begin(), more.end());
    return all;
}

Words engine(const std::string& cylinders, const std::string& bore, const std::string& stroke) {
    return {"--cylinders", cylinders, "--bore", bore, "--stroke", stroke};
}

/// One warning is expected of every started case: that it rests on assumptions.
Words other_warnings(const Json& checked) {
    Words others;
    for (const auto& warning : checked.at("warnings")) {
        if (!has(warning.get<std::string>(), "assumed:")) {
            others.push_back(warning.get<std::string>());
        }
    }
    return others;
}

Outcome start(const Words& options) {
    return run_plenair(with({"start", "--assume"}, options));
}

}  // namespace

TEST_CASE("start: twelve layouts give cases that check clean and solve") {
    const std::vector<Layout> layouts = {
        {"one, mm", engine("1", "96 mm", "62 mm"), 1, 1},
        {"two, inch, no chambers",
         with(engine("2", "3.8 in", "3.2 in"), {"--inches", "--slot", "none"}),
         2,
         1},
        {"three, centre",
         with(engine("3", "84 mm", "90 mm"), {"--feed", "centre", "--speeds", "3000, 7000 rpm"}),
         3,
         1},
        {"four, end, boost",
         with(engine("4", "86 mm", "86 mm"), {"--feed", "end", "--boost", "120 kPa g"}),
         4,
         1},
        {"four in two banks", with(engine("4", "92 mm", "75 mm"), {"--banks", "2"}), 4, 2},
        {"five, far, boost abs",
         with(engine("5", "82.5 mm", "92.8 mm"), {"--feed", "far", "--boost", "250 kPa abs"}),
         5,
         1},
        {"six, side at x, two-valve",
         with(engine("6", "100 mm", "90 mm"), {"--feed", "150 mm", "--valves", "1"}),
         6,
         1},
        {"six in two banks, centre",
         with(engine("6", "91 mm", "69 mm"), {"--banks", "2", "--feed", "centre"}),
         6,
         2},
        {"eight in two banks, inch, boost",
         with(engine("8", "4.125 in", "3.25 in"),
              {"--banks", "2", "--inches", "--boost", "14 psi g", "--lift", "0.65 in"}),
         8,
         2},
        {"eight inline",
         with(engine("8", "70 mm", "80 mm"), {"--order", "1-6-2-5-8-3-7-4", "--plenum", "5 L"}),
         8,
         1},
        {"ten in two banks",
         with(engine("10", "84 mm", "66 mm"), {"--banks", "2", "--throttle", "70 mm"}),
         10,
         2},
        {"twelve in two banks, stated metal",
         with(engine("12", "76 mm", "60 mm"),
              {"--banks",
               "2",
               "--valve-head",
               "29 mm",
               "--lift",
               "9 mm",
               "--runner",
               "150 mm",
               "--runner-bore",
               "38 mm",
               "--slot",
               "8 mm",
               "--throttle",
               "60 mm",
               "--feed",
               "end",
               "--speeds",
               "8000, 10000 rpm"}),
         12,
         2},
    };
    const ScratchFolder scratch;
    for (const auto& layout : layouts) {
        CAPTURE(layout.name);
        const std::string path = scratch.path("case.toml");
        const auto started = start(with(layout.options, {"-o", path, "--quiet"}));
        CHECK(started.err == "");
        REQUIRE(started.status == 0);

        const auto checked = run_plenair({"check", "--json", path});
        REQUIRE(checked.status == 0);
        const auto check = Json::parse(checked.out);
        CHECK(other_warnings(check) == Words{});
        CHECK(check.at("assumed").size() > 20);

        const auto solved = run_plenair({"solve",
                                         "--json",
                                         "--bands",
                                         "off",
                                         "--set",
                                         "model.cells=largest cell 100 mm",
                                         "--set",
                                         "model.tolerance=1e-3",
                                         path});
        CHECK(solved.status == 0);
        const auto result = Json::parse(solved.out);
        CHECK(result.at("converged") == true);
        CHECK(result.at("assumed") == check.at("assumed"));
        for (const auto& point : result.at("points")) {
            CHECK(point.at("cylinders").size() == static_cast<std::size_t>(layout.cylinders));
            // No claim on the number: an engine that breathes at all.
            CHECK(point.at("volumetric_efficiency").get<double>() > 0.5);
            CHECK(point.at("volumetric_efficiency").get<double>() < 1.4);
        }
        CHECK(plenair::read_case(path, {}).intake.banks.size() == layout.banks);
        std::filesystem::remove(path);
    }
}

TEST_CASE("start: what was stated arrives unmarked, what was not is marked with its basis") {
    const auto text =
        start(
            with(engine("4", "86 mm", "86 mm"),
                 {"--throttle", "66 mm", "--set", "engine.rod=140 mm", "--set", "fuel.stoich=9.8"}))
            .out;
    CHECK(text.starts_with("#:schema "));
    CHECK(has(text, "\nbore = \"86 mm\"\n"));
    CHECK(has(text, "\nbore = \"66 mm\"\n"));
    CHECK(has(text, "rod = \"140 mm\"   "));
    CHECK(!has(text, "\nengine.rod = "));
    CHECK(!has(text, "\nfuel.stoich = "));
    CHECK(has(text, "\nengine.compression_ratio = \"common practice\"\n"));
    CHECK(has(text, "# assumed"));

    const auto c = plenair::parse_case(text, "case.toml", {});
    REQUIRE(!c.assumed.empty());
    for (const auto& entry : c.assumed) {
        CAPTURE(entry.key);
        CHECK(!entry.basis.empty());
        CHECK(!entry.value.empty());
        // Ends of bands are cases of their own that could be built.
        if (entry.end) {
            CHECK(entry.end(false) != nullptr);
            CHECK(entry.end(true) != nullptr);
        }
    }
}

TEST_CASE("start: a speed by --set sizes the parts as one by --speeds does") {
    const auto four = engine("4", "86 mm", "86 mm");
    const auto bore = [](const Outcome& outcome) {
        CAPTURE(outcome.err);
        REQUIRE(outcome.status == 0);
        return plenair::parse_case(outcome.out, "case.toml", {})
            .intake.banks.front()
            .throttles.front()
            .bore;
    };
    CHECK(bore(start(with(four, {"--set", "point.speed=5000 rpm"}))) ==
          bore(start(with(four, {"--speeds", "5000 rpm"}))));
}

TEST_CASE("start: a shipped case lends what was not stated, also to another number of cylinders") {
    const auto same = start({"--like", "v6-bank"});
    REQUIRE(same.status == 0);
    const auto c = plenair::parse_case(same.out, "case.toml", {});
    const auto shipped = plenair::read_case(
        std::string(PLENAIR_SOURCE_DIR) + "/cases/shipped/v6-bank/case.toml", {});
    CHECK(c.engine == shipped.engine);
    CHECK(c.points == shipped.points);
    CHECK(c.intake.banks[0].slot->area() == shipped.intake.banks[0].slot->area());
    CHECK(c.intake.banks[0].runners[2].x == shipped.intake.banks[0].runners[2].x);
    CHECK(has(same.out, "engine.bore = \"as in the shipped case v6-bank\""));

    const auto five = start({"--like", "hill-climb-four", "--cylinders", "5", "--slot", "none"});
    REQUIRE(five.status == 0);
    const auto other = plenair::parse_case(five.out, "case.toml", {});
    CHECK(other.engine.cylinder_count() == 5);
    CHECK(!other.intake.banks[0].slot);
    CHECK(other.points.size() == 5);
    CHECK(!has(five.out, "assumed: "));

    const auto inches = start({"--like", "marine-six/log", "--inches"});
    CHECK(has(inches.out, " in\""));
    CHECK(plenair::parse_case(inches.out, "case.toml", {}).engine.cylinder_count() == 6);

    CHECK(has(start({"--like", "v6-bnak"}).err, "did you mean v6-bank?"));
    CHECK(has(start({"--like", "header-rig"}).err, "is a rig without an engine"));
}

TEST_CASE("start: bell and clearance fit the plenum as written, whatever is stated of them") {
    const std::array<const char*, 5> stated{"plenum.height=20 mm",
                                            "plenum.height=61.3 mm",
                                            "runner.wall_clearance=140 mm",
                                            "runner.protrusion=40 mm",
                                            "plenum.diameter=70 mm"};
    for (const auto* entry : stated) {
        for (const Words& units :
             {Words{}, Words{"--inches"}, Words{"--like", "hill-climb-four"}}) {
            if (has(entry, "diameter") && has(units.empty() ? "" : units.front(), "like")) {
                continue;  // whose plenum has a section
            }
            CAPTURE(entry);
            CAPTURE(units.size());
            const auto made =
                start(with(with(engine("4", "86 mm", "74 mm"), units), {"--set", entry}));
            CHECK(made.status == 0);
            CHECK_FALSE(has(made.err, "exceed"));
        }
    }
}

TEST_CASE("start: a bore that narrows is said in words, speeds count as stated") {
    const ScratchFolder scratch;
    const auto four = engine("4", "86 mm", "86 mm");
    for (const std::string bore : {"39.5 mm, narrowing to 37 mm", "39.5 mm to 37 mm"}) {
        const auto words = start(with(four, {"--runner-bore", bore}));
        CHECK(has(words.out, "diameter = { start = \"39.5 mm\", end = \"37 mm\" }"));
    }
    CHECK(has(start(with(four, {"--runner-bore", "39.5 mm, narrowing to 37"})).err,
              "--runner-bore = 37: no unit; write \"37 mm\""));
    const auto said = [&](const Words& more) {
        const std::string path = scratch.path(std::to_string(more.size()) + ".toml");
        return start(with(with(four, more), {"-o", path})).err;
    };
    CHECK(has(said({}), ": 2 entries stated"));
    CHECK(has(said({"--speeds", "3000, 5000 rpm"}), ": 3 entries stated"));
    CHECK(has(start(four).out, "sized to take about 0.7 % of the pressure at most speed"));
}

TEST_CASE("start: wrong answers are refused all at once, each with its remedy") {
    const auto outcome =
        start({"--cylinders", "4",       "--bore",   "86",     "--stroke",
               "86 mm",       "--order", "1-3-3-2",  "--lift", "9",
               "--feed",      "top",     "--speeds", "7000",   "--boost",
               "22 psi",      "--banks", "3",        "--set",  "engine.rodd=138 mm"});
    CHECK(outcome.status == 2);
    CHECK(outcome.out.empty());
    CHECK(has(outcome.err, "--bore = 86: no unit; write \"86 mm\""));
    CHECK(has(outcome.err, "cylinder 3 stands there twice, cylinder 4 is missing"));
    CHECK(has(outcome.err, "--lift = 9: no unit; write \"9 mm\""));
    CHECK(has(outcome.err, "--feed top: must be end, far, centre"));
    CHECK(has(outcome.err, "--speeds 7000: no unit; write \"7000 rpm\""));
    CHECK(has(outcome.err, "state psi g or psi abs"));
    CHECK(has(outcome.err, "--banks 3: must be 1 (inline) or 2"));
    CHECK(has(outcome.err, "did you mean engine.rod?"));

    const auto bare = start({});
    CHECK(bare.status == 2);
    CHECK(has(bare.err, "start needs --cylinders, --bore, --stroke"));
    // What does not fit together is said without the place in a file that is not there.
    const auto wide = start(with(engine("2", "86 mm", "86 mm"), {"--feed", "3000 mm"}));
    CHECK(wide.status == 2);
    CHECK(has(wide.err, "throttle.x"));
    CHECK(!has(wide.err, "case:"));
}

TEST_CASE(
    "start: asks again until an answer is good; Enter assumes; the end of input assumes the rest") {
    const ScratchFolder scratch;
    const std::string path = scratch.path("asked.toml");
    const std::string input =
        scratch.write("answers", "four\n4\n\n86\n86 mm\n86 mm\n\n1-3-3-2\n1-3-4-2\n\n\n\n\n\n");
    const auto outcome = run_process(
        "/bin/sh",
        {"-c", std::string(PLENAIR_EXECUTABLE) + " start --ask -o " + path + " <" + input});
    CHECK(outcome.status == 0);
    CHECK(has(outcome.err, "Number of cylinders (e.g. 4): "));
    CHECK(has(outcome.err, "--cylinders four: must be a whole number"));
    CHECK(has(outcome.err, "nothing can be assumed for it"));
    CHECK(has(outcome.err, "--bore = 86: no unit"));
    CHECK(has(outcome.err, "[Enter: assume 1-3-4-2]"));
    CHECK(has(outcome.err, "cylinder 3 stands there twice"));
    CHECK(has(outcome.err, "Next: plenair check "));
    CHECK(plenair::read_case(path, {}).engine.cylinder_count() == 4);

    // What is assumed is shown in words that are an answer as well.
    CHECK(has(outcome.err, "mm, narrowing to "));
    CHECK_FALSE(has(outcome.err, "{"));

    // Never over a case that is there.
    const auto again = start(with(engine("4", "86 mm", "86 mm"), {"-o", path}));
    CHECK(again.status == 2);
    CHECK(has(again.err, "no case file is written over"));
    CHECK(has(start(with(engine("4", "86 mm", "86 mm"), {"-o", scratch.path("case.h5")})).err,
              "ends in .toml"));
}

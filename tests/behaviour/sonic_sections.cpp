#include "cases/study/sonic_words.hpp"
#include "tests/support/quick_four.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <regex>
#include <string>
#include <vector>

// Where a sonic section limits the engine the result says so: part, place, crank angles, share of
// the flow; in the table, in JSON and in the report.

namespace {

using nlohmann::json;

struct Four {
    ScratchFolder scratch;
    std::string path;
    explicit Four(const std::string& more = "")
        : path(scratch.write("four.toml",
                             plenair::test::quick_four(plenair::test::two_points) + more)) {}

    [[nodiscard]] std::string solved(std::vector<std::string> options) const {
        std::vector<std::string> arguments = {"solve", path, "--bands", "off", "--no-slot", "off"};
        arguments.insert(arguments.end(), options.begin(), options.end());
        const auto outcome = run_plenair(arguments);
        REQUIRE_MESSAGE(outcome.status == 0, outcome.err);
        return outcome.out;
    }
    [[nodiscard]] std::vector<std::string> notes(std::vector<std::string> options) const {
        options.emplace_back("--json");
        std::vector<std::string> found;
        const json result = json::parse(solved(options));
        for (const auto& note : result["points"].back()["notes"]) {
            found.push_back(note);
        }
        return found;
    }
};

std::string first_of(const std::vector<std::string>& notes, const std::string& part) {
    for (const auto& note : notes) {
        if (has(note, part)) {
            return note;
        }
    }
    return {};
}

const std::vector<std::string> narrow = {
    "--set", "runner.diameter=24 mm", "--set", "runner.port_diameter=24 mm"};

}  // namespace

TEST_CASE("sonic sections: an engine that nothing limits has no such note") {
    const auto notes = Four().notes({});
    CHECK(first_of(notes, "sonic") == "");
}

TEST_CASE("sonic sections: runners narrower than their valves are sonic at the valve end") {
    const Four four;
    const std::string note = first_of(four.notes(narrow), "valve end");
    CAPTURE(note);
    std::smatch found;
    REQUIRE(std::regex_search(note,
                              found,
                              std::regex("^runners 1, 2, 3 and 4 are sonic at the valve end "
                                         "from ([0-9]+) to ([0-9]+) deg after their own firing "
                                         "TDC.*, with ([0-9]+)( to [0-9]+)? % of what passes "
                                         "there$")));
    // While the piston draws: 360 to 540 deg and the time that the column needs.
    CHECK(std::stoi(found[1]) > 360);
    CHECK(std::stoi(found[2]) < 620);
    CHECK(std::stoi(found[3]) > 10);
    CHECK(has(four.solved(narrow), "are sonic at"));
    const auto page = four.scratch.path("page.html");
    std::vector<std::string> report = {"report", four.path, "-o", page, "--no-live"};
    report.insert(report.end(), narrow.begin(), narrow.end());
    const auto outcome = run_plenair(report);
    REQUIRE_MESSAGE(outcome.status == 0, outcome.err);
    CHECK(has(read_text(page), "are sonic at"));
}

TEST_CASE("sonic sections: they are data in JSON") {
    const Four four;
    auto options = narrow;
    options.emplace_back("--json");
    const json all = json::parse(four.solved(options));
    const json& point = all["points"].back();
    std::vector<int> cylinders;
    for (const auto& section : point["sonic"]) {
        if (section["part"] != "runner" || section["place"] != "end") continue;
        cylinders.push_back(section["cylinder"]);
        CHECK(section["whole_cycle"] == false);
        CHECK(section["from_deg"] > 360);
        CHECK(section["to_deg"] < 620);
        CHECK(section["share_percent"] > 10);
        CHECK(section["blows_back"] == false);
    }
    CHECK(cylinders == std::vector<int>{1, 2, 3, 4});
}

TEST_CASE("sonic sections: a slot is that of its bank, and lengths are in the unit of the case") {
    plenair::SonicSection slot;
    slot.part = plenair::SonicSection::Part::slot;
    slot.bank = "left";
    slot.x = 0.0254;
    slot.x_to = 0.381;
    slot.always = true;
    slot.share = 1;
    const auto said = [&](plenair::geometry::OutputUnits units) {
        return plenair::study::sonic_words({slot}, units).front();
    };
    CHECK(said({}) ==
          "the slot of bank left is sonic between x 25 and 381 mm over the whole cycle, with 100 % "
          "of what passes there");
    CHECK(said({plenair::geometry::UnitSystem::inch}) ==
          "the slot of bank left is sonic between x 1.00 and 15.00 in over the whole cycle, with "
          "100 % of what passes there");
}

TEST_CASE("sonic sections: a plate that is nearly shut is choked over the whole cycle") {
    const auto notes = Four().notes({"--set", "point.top.throttle_angle=14 deg"});
    CHECK(has(first_of(notes, "throttle"),
              "the throttle at x = 0 of the pre-chamber is choked over the whole cycle, with 100 % "
              "of what passes there"));
}

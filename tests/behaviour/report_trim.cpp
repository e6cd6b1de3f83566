// What is written of trims: every number that the tuner acts on, and what must never be left out.

#include "cases/report/csv.hpp"
#include "cases/report/json.hpp"
#include "cases/report/terminal.hpp"
#include "tests/support/near.hpp"
#include "tests/support/trim_case.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <string>

#include <doctest/doctest.h>

using namespace plenair;
using namespace plenair::test;

namespace {

using Json = nlohmann::json;

TrimResult four_trims(const std::vector<std::string>& sets = {}) {
    HandSolved hand(shipped(hill_climb, sets));
    hand.add("A4", 350.5, {3.0, -1.0, -1.0, -1.0});
    hand.add("A1", 104.9, {-1.0, 1.0, 0.4, -0.4});
    return trim(hand.c, hand.solved, {});
}

bool says(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("trim report: JSON has both stages before and after trim, and who is over") {
    const Json json = Json::parse(json_text(four_trims()));
    CHECK(json["format"] == "plenair.trim/1");
    CHECK(json["sign"].get<std::string>().starts_with("+ is more fuel"));
    CHECK(json["step_percent"] == 0.5);
    CHECK(json["injection"]["secondary"]["duty_limit_percent"] == 85);
    const Json& cylinder = json["points"][0]["cylinders"][0];
    CHECK(cylinder["trim_percent"] == 3);
    CHECK(cylinder["multiplier"] == 1.03);
    const Json& second = cylinder["duty"]["secondary"];
    CHECK(second["untrimmed"]["flow_duty_percent"].get<double>() == near(75.0, 0, 0.1));
    CHECK(second["untrimmed"]["commanded_duty_percent"].get<double>() == near(82.9, 0, 0.1));
    CHECK(second["untrimmed"]["over_limit"] == false);
    CHECK(second["trimmed"]["commanded_duty_percent"].get<double>() == near(85.1, 0, 0.1));
    CHECK(second["trimmed"]["over_limit"] == true);
    CHECK(cylinder["duty"]["primary"]["trimmed"]["over_limit"] == false);
    CHECK(json["fixed_trims"].size() == 4);
    CHECK(json["warnings"][0].get<std::string>().find("A4: cylinder 1, secondary stage") == 0);
}

TEST_CASE("trim report: the case digest follows every input, also those of fuel alone") {
    const auto digest = [](const std::vector<std::string>& sets) {
        return Json::parse(json_text(four_trims(sets)))["case_digest"].get<std::string>();
    };
    CHECK(digest({}) == digest({"injector.primary.dead_time=0.95 ms"}));
    CHECK(digest({}) != digest({"injector.primary.dead_time=0.96 ms"}));
    CHECK(digest({}) != digest({"fuel.density=0.786 kg/L"}));
}

TEST_CASE("trim report: the terminal lists points by speed, then load, and cautions always") {
    const std::string text = terminal_text(four_trims(), false);
    const auto table = text.substr(text.find("Trims over speed and load"));
    CHECK(table.find("A1") < table.find("A4"));
    CHECK(says(text, "firing       (1)     (4)     (2)     (3)"));
    CHECK(says(text, "75.0/82.9    77.3/85.1!"));
    CHECK(says(text, "rests"));
    CHECK(says(text, "warning: A4: cylinder 1, secondary stage: commanded duty"));
    CHECK(says(text, "load the trims at half their value"));
    for (const std::string word : {"Fuel  ", "Lean  ", "Nitrous  ", "Local codes"}) {
        CHECK(says(text, word));
    }
    CHECK_FALSE(says(text, "\033["));
    CHECK(says(terminal_text(four_trims(), true), "\033["));
}

TEST_CASE("trim report: no line of the terminal report ends in blanks") {
    const std::string text = terminal_text(four_trims({"nitrous.flow=6 g/s"}), false);
    CHECK_FALSE(says(text, " \n"));
    CHECK(says(text, "Nitrous oxide\n  An oxidiser under high pressure"));
}

TEST_CASE("trim report: CSV cells of a failed point are empty") {
    HandSolved hand(shipped(hill_climb));
    hand.add("A4", 350.5, {3.0, -1.0, -1.0, -1.0});
    hand.solved.points[0].converged = false;
    hand.solved.points[0].failure = "residual, large";
    const std::string csv = csv_text(trim(hand.c, hand.solved, {}));
    CHECK(std::count(csv.begin(), csv.end(), '\n') == 2);
    CHECK(says(csv, "\npoint,A4,8600,,250,0,\"residual, large\",,,,,"));
}

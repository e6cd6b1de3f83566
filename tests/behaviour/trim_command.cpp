// The trim verb from end to end: from a case, from stored results, to JSON, CSV and the terminal.

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <sstream>
#include <string>
#include <vector>

#include "tests/support/near.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/text.hpp"

namespace {

using Json = nlohmann::json;

const std::string six = "cases/shipped/marine-six/log.toml";
const std::string four = "cases/shipped/hill-climb-four/case.toml";

/// With coarse cells and a loose periodic state: the tests are about what is done with the air.
Outcome quick(const std::string& verb,
              const std::string& input,
              const std::vector<std::string>& more = {}) {
    std::vector<std::string> arguments{
        verb, input, "--set", "model.cells=coarse", "--set", "model.tolerance=1e-4"};
    arguments.insert(arguments.end(), more.begin(), more.end());
    return run_plenair(arguments);
}

/// A result of the inline six, stored as JSON.
Json solved_six() {
    const auto outcome = quick("solve", six, {"--json"});
    REQUIRE(outcome.status == 0);
    return Json::parse(outcome.out);
}

/// Keeps the points of a result that have these names.
void keep_points(Json& result, const std::vector<std::string>& names) {
    Json kept = Json::array();
    for (const auto& point : result["points"]) {
        if (std::find(names.begin(), names.end(), point["name"]) != names.end()) {
            kept.push_back(point);
        }
    }
    result["points"] = kept;
}

void set_biases(Json& point, const std::vector<double>& percents) {
    for (auto& cylinder : point["cylinders"]) {
        cylinder["bias_percent"] = percents.at(cylinder["cylinder"].get<std::size_t>() - 1);
    }
}

}  // namespace

TEST_CASE("trim command: a case, its HDF5 result and its JSON result give the same trims") {
    const ScratchFolder scratch;
    const auto h5 = scratch.path("air.h5"), json = scratch.path("air.json");
    REQUIRE(quick("solve", six, {"--bands", "off", "--quiet", "-o", h5}).status == 0);
    REQUIRE(quick("solve", six, {"--bands", "off", "--quiet", "-o", json}).status == 0);
    const auto direct = quick("trim", six, {"--json"});
    REQUIRE(direct.status == 0);
    const auto from_h5 = run_plenair({"trim", h5, "--json"});
    CHECK(from_h5.status == 0);
    CHECK(from_h5.out == direct.out);
    const auto from_json = run_plenair({"trim", json, "--json"});
    CHECK(from_json.status == 0);
    const Json a = Json::parse(direct.out), b = Json::parse(from_json.out);
    CHECK(a["case_digest"] == b["case_digest"]);
    for (std::size_t p = 0; p < a["points"].size(); ++p) {
        for (std::size_t i = 0; i < 6; ++i) {
            const auto& mine = a["points"][p]["cylinders"][i];
            const auto& theirs = b["points"][p]["cylinders"][i];
            CHECK(mine["trim_percent"] == theirs["trim_percent"]);
            CHECK(mine["fuel_trimmed_kg_s"].get<double>() ==
                  near(theirs["fuel_trimmed_kg_s"].get<double>(), 1e-9));
        }
    }
}

TEST_CASE("trim command: solve gives the same trims as trim, at the usual step") {
    const Json solved = solved_six();
    const Json trimmed = Json::parse(quick("trim", six, {"--json"}).out);
    for (std::size_t p = 0; p < solved["points"].size(); ++p) {
        CHECK(solved["points"][p]["trim_step_percent"] == 0.5);
        CHECK(solved["points"][p]["trim_moved_mean_percent"] ==
              trimmed["points"][p]["moved_mean_percent"]);
        for (std::size_t i = 0; i < 6; ++i) {
            CHECK(solved["points"][p]["cylinders"][i]["trim_percent"] ==
                  trimmed["points"][p]["cylinders"][i]["trim_percent"]);
        }
    }
}

TEST_CASE("trim command: shares at the torque peak of a six give the trims done by hand") {
    const ScratchFolder scratch;
    Json solved = solved_six();
    keep_points(solved, {"B1", "B3"});
    set_biases(solved["points"][0], {-1.2, -1.9, -1.3, 2.1, 0.3, 2.1});
    set_biases(solved["points"][1], {2.25, 3.43, 3.40, -1.37, -7.13, -0.58});
    solved.erase("content_digest");  // changed on purpose
    const auto path = scratch.write("shares.json", solved.dump());
    const auto outcome = run_plenair({"trim", path, "--json"});
    REQUIRE(outcome.status == 0);
    const Json result = Json::parse(outcome.out);
    const Json& point = result["points"][1];
    const std::vector<double> trims{2.5, 3.5, 3.5, -1.5, -7.0, -0.5};
    const std::vector<double> untrimmed{0.890, 0.900, 0.900, 0.858, 0.808, 0.865};
    for (std::size_t i = 0; i < 6; ++i) {
        const Json& t = point["cylinders"][i];
        CHECK(t["cylinder"] == i + 1);
        CHECK(t["trim_percent"] == trims[i]);
        CHECK(t["multiplier"].get<double>() == near(1 + trims[i] / 100, 1e-12));
        CHECK(t["lambda_untrimmed"].get<double>() == near(untrimmed[i], 0, 0.0005));
        CHECK(t["lambda_trimmed"].get<double>() == near(0.87, 0, 0.003));
    }
    CHECK(point["cylinders"][4]["firing_position"] == 2);
    CHECK(point["moved_mean_percent"].get<double>() == near(0.5 / 6, 1e-9));
    CHECK(point["leanest_cylinder"] == 2);
    CHECK(point["lean_margin_lambda"].get<double>() == near(0.030, 0, 0.0005));
    // The trims of B3 leave B1 worse than no trim does.
    const auto terminal = run_plenair({"trim", path});
    CHECK(terminal.status == 0);
    CHECK(has(terminal.out, "mean moved   +0.08 % by rounding to 0.5 %"));
    CHECK(has(terminal.out, "trims of B3 kept everywhere leave more spread than no trim at B1"));
    CHECK(has(terminal.out, "+ is more fuel, - is less; multiplier 1.025 is +2.5 %"));
    for (const std::string word : {"Cautions", "Fuel  ", "Lean  ", "Nitrous", "licensed"}) {
        CHECK(has(terminal.out, word));
    }
}

TEST_CASE("trim command: the six's trims of its torque peak, kept at cruise, do harm there") {
    const auto outcome = quick("trim", six, {"--json"});
    REQUIRE(outcome.status == 0);
    const Json result = Json::parse(outcome.out);
    CHECK(result["fixed_trims"].size() == 16);
    for (const auto& fixed : result["fixed_trims"]) {
        const bool home = fixed["trims_of"] == fixed["at"];
        CHECK((!home || fixed["worse_than_no_trim"] == false));
        if (fixed["trims_of"] == "B3" && fixed["at"] == "B1") {
            CHECK(fixed["worse_than_no_trim"] == true);
            CHECK(fixed["spread_fixed_percent"].get<double>() >
                  fixed["spread_untrimmed_percent"].get<double>());
        }
    }
}

TEST_CASE("trim command: a strangled runner takes fuel from its own cylinder, not its position") {
    // Order 1-3-4-2: cylinder 2 fires last, and third is cylinder 4.
    const std::vector<int> positions{1, 4, 2, 3};
    for (const int strangled : {2, 3}) {
        CAPTURE(strangled);
        const std::string losses = strangled == 2 ? "[0.1, 3, 0.1, 0.1]" : "[0.1, 0.1, 3, 0.1]";
        const auto outcome =
            quick("trim", four, {"--json", "--set", "runner.entry_loss=" + losses});
        REQUIRE_MESSAGE(outcome.status == 0, outcome.err);
        const Json result = Json::parse(outcome.out);
        const Json& top = result["points"][3];
        REQUIRE(top["name"] == "A4");
        CHECK(top["leanest_cylinder"] != strangled);
        for (int cylinder = 1; cylinder <= 4; ++cylinder) {
            const Json& t = top["cylinders"][static_cast<std::size_t>(cylinder - 1)];
            CHECK(t["cylinder"] == cylinder);
            CHECK(t["firing_position"] == positions[static_cast<std::size_t>(cylinder - 1)]);
            const double trim = t["trim_percent"];
            CHECK((cylinder == strangled ? trim < -5 : trim > 0));
        }
    }
}

TEST_CASE("trim command: CSV has a row per point and cylinder, and units in every name") {
    const ScratchFolder scratch;
    const auto path = scratch.path("trims.csv");
    const auto outcome = quick(
        "trim", six, {"--quiet", "--step", "0.1", "--map-speeds", "3000, 4000 rpm", "-o", path});
    REQUIRE(outcome.status == 0);
    CHECK(outcome.out.empty());
    CHECK(outcome.err.empty());
    std::istringstream file(read_text(path));
    std::string line;
    std::getline(file, line);
    const auto names = split(line, ',');
    const std::vector<std::string> units{
        "_rpm", "_kpa", "_0_1", "_text", "_number", "_percent", "_ratio", "_g_s"};
    for (const auto& name : names) {
        CAPTURE(name);
        const bool plain =
            name == "row_kind" || name == "point" || name == "case_digest" || name == "version";
        CHECK((plain || std::any_of(units.begin(), units.end(), [&](const auto& unit) {
                   return name.ends_with(unit);
               })));
    }
    int points = 0, places = 0;
    while (std::getline(file, line)) {
        const auto row = split(line, ',');
        CHECK(row.size() == names.size());
        points += row[0] == "point" ? 1 : 0;
        places += row[0] == "map" ? 1 : 0;
    }
    CHECK(points == 4 * 6);
    CHECK(places == 2 * 6);
}

TEST_CASE("trim command: a point that does not converge gets no trims and status 3") {
    const auto outcome = quick("trim", four, {"--set", "model.max_cycles=2", "--json"});
    CHECK(outcome.status == 3);
    CHECK(has(outcome.err, "point 'A1' is not a result"));
    CHECK(has(outcome.err, "no trims are issued"));
    const Json result = Json::parse(outcome.out);
    CHECK(result["converged"] == false);
    for (const auto& point : result["points"]) {
        CHECK(point["trims_issued"] == false);
        CHECK_FALSE(point.contains("cylinders"));
    }
    CHECK_FALSE(has(outcome.out, "trim_percent"));
}

TEST_CASE("trim command: nitrous adds its table and its own cautions") {
    const auto outcome =
        quick("trim",
              "cases/shipped/v6-bank/case.toml",
              {"--set", "nitrous.flow=6.0 g/s", "--set", "nitrous.points=[\"C3\"]"});
    REQUIRE_MESSAGE(outcome.status == 0, outcome.err);
    CHECK(has(outcome.out, "Estimate: mass of oxygen and fuel from the measured flow alone"));
    CHECK(has(outcome.out, "bottles\n  below 52 degC"));
    // 6.0 g/s x 0.3635; 6.0 / (9.166 x 0.88).
    CHECK(has(outcome.out, "6.00    2.18        0.74"));
}

TEST_CASE("trim command: a first stage over its limit while the second rests ends with status 2") {
    const ScratchFolder scratch;
    const auto path = scratch.path("trims.json");
    const auto outcome =
        quick("trim", four, {"--quiet", "--set", "injector.staging_speed=8800 rpm", "-o", path});
    CHECK(outcome.status == 2);
    CHECK(outcome.out.empty());
    CHECK(has(outcome.err, "A4: cylinder "));
    CHECK(has(outcome.err, "primary stage: commanded duty "));
    CHECK(has(outcome.err, "while the second stage rests"));
    CHECK(has(outcome.err, "lower injector.staging_pressure or injector.staging_speed"));
    CHECK(scratch.count() == 0);
}

TEST_CASE("trim command: wrong usage is refused before anything is computed") {
    const ScratchFolder scratch;
    const auto refused = [&](const std::vector<std::string>& more) {
        std::vector<std::string> arguments{"5", PLENAIR_EXECUTABLE, "trim", four};
        arguments.insert(arguments.end(), more.begin(), more.end());
        const auto outcome = run_process("/usr/bin/timeout", arguments);
        CHECK(outcome.status == 2);
        CHECK(outcome.out.empty());
        CHECK(scratch.count() == 0);
        return outcome.err;
    };
    CHECK(has(refused({"-o", scratch.path("trims.h5")}), "trim writes .json or .csv"));
    CHECK(has(refused({"--map-loads", "100, 150 kPa abs"}), "--map-loads without --map-speeds"));
    CHECK(has(refused({"--map-speeds", "3000, 4000"}), "--map-speeds \"3000, 4000\": no unit"));
    CHECK(has(refused({"--map-speeds", "3000 rpm", "--map-loads", "150 kPa"}), "abs"));
    CHECK_FALSE(refused({"--step", "0"}).empty());
    CHECK_FALSE(refused({"--step", "half"}).empty());
    const auto rig = run_plenair({"trim", "tests/behaviour/find-package/rig.toml"});
    CHECK(rig.status == 2);
    CHECK(has(rig.err, "engine"));
}

TEST_CASE("trim command: a grid over one speed cannot be interpolated") {
    const ScratchFolder scratch;
    Json solved = solved_six();
    keep_points(solved, {"B3"});
    solved.erase("content_digest");
    const auto path = scratch.write("one.json", solved.dump());
    const auto outcome = run_plenair({"trim", path, "--map-speeds", "3000, 4000 rpm"});
    CHECK(outcome.status == 2);
    CHECK(outcome.out.empty());
    CHECK(has(outcome.err, "cannot interpolate: all points are at one speed"));
    CHECK(has(run_plenair({"trim", path}).out, "all points are at 4400 rpm: cannot interpolate"));
    CHECK(run_plenair({"trim", path, "--set", "slot.width=5 mm"}).status == 2);
}

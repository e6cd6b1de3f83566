#include "cases/report/json.hpp"
#include "cases/study/version.hpp"
#include "tests/support/near.hpp"
#include "tests/support/sample_results.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <limits>

using namespace plenair;
using nlohmann::json;

TEST_CASE("json: solve has the fields of plenair.solve/1") {
    const json result = json::parse(json_text(test::sample_solve()));

    CHECK(result["format"] == "plenair.solve/1");
    CHECK(result["version"] == version());
    CHECK(result["case_digest"] == "sha256:00ff");
    CHECK(result["case_text"] == "format = 1\n[case]\ntitle = \"x\"\n");
    CHECK(result["converged"] == false);
    const json& point = result["points"][0];
    CHECK(point["name"] == "A4");
    CHECK(point["converged"] == true);
    CHECK_FALSE(point.contains("failure"));
    CHECK(point["cycles"] == 9);
    CHECK(point["air_flow_kg_s"] == 0.35);
    CHECK(point["spread_percent"] == 1.5);
    CHECK(point["end_bias_percent"] == -1.5);
    CHECK(point["bias_band_percent"] == 2.0);
    CHECK(point["loss_pa"]["throttle"] == 1900);
    CHECK(point["loss_pa"]["slot"] == 5000);
    CHECK(point["loss_pa"]["mouth"] == 700);
    const json& cylinder = point["cylinders"][1];
    CHECK(cylinder["cylinder"] == 2);
    CHECK(cylinder["firing_position"] == 2);
    CHECK(cylinder["air_delivered_kg"] == 0.0012);
    CHECK(cylinder["air_trapped_kg"] == 0.00119);
    CHECK(cylinder["share"] == 0.49625);
    CHECK(cylinder["bias_percent"] == -0.75);
    CHECK(cylinder["trim_percent"] == -0.5);  // a tie of half percents goes rich
    CHECK(point["trim_step_percent"] == 0.5);
    CHECK(point["trim_moved_mean_percent"] == 0.25);
    CHECK(cylinder["residual_fraction"] == 0.051);
    CHECK(point["pressures"][0]["mean_pa"].size() == 3);
    CHECK(point["slots"][0]["flow_per_length_kg_s_m"][1] == 0.95);
    CHECK(point["traces"][0]["unit"] == "m/s");
    CHECK_FALSE(point["traces"][2].contains("cylinder"));
}

TEST_CASE("json: a speed typed in rpm comes back as typed") {
    SolveResult result = test::sample_solve();
    result.points[0].speed = 8600 * 3.14159265358979323846 / 30;

    CHECK(json::parse(json_text(result))["points"][0]["speed_rpm"].get<double>() == 8600);
}

TEST_CASE("json: numbers read back to the same bits") {
    const SolveResult result = test::sample_solve();

    const json point = json::parse(json_text(result))["points"][0];

    CHECK(point["mass_balance"].get<double>() == result.points[0].mass_balance);
    CHECK(point["cylinders"][0]["air_trapped_kg"].get<double>() ==
          result.points[0].cylinders[0].air_trapped);
}

TEST_CASE("json: a point that did not converge has a failure and no shares") {
    const std::string text = json_text(test::sample_solve());

    const json point = json::parse(text)["points"][1];

    CHECK(point["converged"] == false);
    CHECK(point["failure"] == "residual 0.02 after 3 cycles, 1e-06 wanted");
    for (const char* hidden : {"spread_percent", "end_bias_percent", "bias_band_percent"}) {
        CHECK_FALSE(point.contains(hidden));
    }
    for (const auto& cylinder : point["cylinders"]) {
        CHECK_FALSE(cylinder.contains("share"));
        CHECK_FALSE(cylinder.contains("bias_percent"));
        CHECK_FALSE(cylinder.contains("trim_percent"));
        CHECK_FALSE(cylinder.contains("air_trapped_kg"));
    }
    CHECK(text.find("0.777") == std::string::npos);
}

TEST_CASE("json: what is not finite is null") {
    SolveResult result = test::sample_solve();
    result.points[1].energy_balance = std::numeric_limits<double>::quiet_NaN();
    result.points[1].air_flow = std::numeric_limits<double>::infinity();

    const std::string text = json_text(result);

    CHECK(json::parse(text)["points"][1]["energy_balance"].is_null());
    CHECK(json::parse(text)["points"][1]["air_flow_kg_s"].is_null());
    CHECK(text.find("nan") == std::string::npos);
}

TEST_CASE("json: a band that was not computed is null, not zero") {
    SolveResult result = test::sample_solve();
    result.points[0].bias_band = 0;

    CHECK(json::parse(json_text(result))["points"][0]["bias_band_percent"].is_null());
}

TEST_CASE("json: bench has the fields of plenair.bench/1") {
    const json result = json::parse(json_text(test::sample_bench()));

    CHECK(result["format"] == "plenair.bench/1");
    CHECK(result["case_text"] == "format = 1\n");
    const json& slot = result["set_ups"][0];
    CHECK(slot["name"] == "slot");
    CHECK(slot["depression_pa"] == 6972.9);
    CHECK(slot["cd"] == 0.875);
    CHECK(slot["reference_area_m2"] == 0.002328);
    // 0.2541 / 1.2041 m3/s = 0.211029 m3/s; 1 CFM = 4.719474e-4 m3/s (NIST SP 811, 2008, B.8)
    CHECK(slot["flow_cfm"].get<double>() == near(0.2541 / 1.2041 / 4.719474e-4, 1e-6));
    CHECK(slot["cfm_density_kg_m3"] == 1.2041);
    CHECK(slot["static_pressure_pa"][1] == 101100);
    const json& all = result["set_ups"][1];
    CHECK_FALSE(all.contains("cd"));
    CHECK(all["flow_per_runner_kg_s"][2] == 0.202);
    // 0.198, 0.2, 0.202 about their mean 0.2
    CHECK(all["bias_per_runner_percent"][0].get<double>() == near(-1, 1e-9));
    CHECK(all["bias_per_runner_percent"][2].get<double>() == near(1, 1e-9));
    CHECK(all["runner_spread_percent"].get<double>() == near(2, 1e-9));
    const json& bad = result["set_ups"][2];
    CHECK(bad["failure"] == "residual 0.1 after 200 iterations");
    CHECK_FALSE(bad.contains("flow_kg_s"));
}

TEST_CASE("json: the ends of the slot are reached through the outer three cells") {
    const json slot = json::parse(json_text(test::sample_bench()))["set_ups"][0];

    // Four equal cells 0.9, 1, 1, 1.1: mean 1; ends (11 x 0.9 - 7 + 2)/6 and (11 x 1.1 - 7 + 2)/6
    CHECK(slot["inlet_over_mean"].get<double>() == near(4.9 / 6, 1e-12));
    CHECK(slot["closed_over_mean"].get<double>() == near(7.1 / 6, 1e-12));
    CHECK(slot["spread_percent"].get<double>() == near(220.0 / 6, 1e-9));
}

TEST_CASE("json: a row of holes is described by the flow of its holes") {
    BenchStudyResult result = test::sample_bench();
    result.set_ups[0].hole_flow = {0.9, 1.0, 1.2, 0.9};

    const json slot = json::parse(json_text(result))["set_ups"][0];

    // Mean 1.0
    CHECK(slot["inlet_over_mean"].get<double>() == near(0.9, 1e-12));
    CHECK(slot["closed_over_mean"].get<double>() == near(0.9, 1e-12));
    CHECK(slot["spread_percent"].get<double>() == near(30, 1e-9));
}

TEST_CASE("json: slots of several banks in one list have no ends") {
    BenchStudyResult result = test::sample_bench();
    result.set_ups[0].x = {0.05, 0.15, 0.05, 0.15};

    CHECK_FALSE(json::parse(json_text(result))["set_ups"][0].contains("inlet_over_mean"));
}

TEST_CASE("json: a stated reference density carries the CFM") {
    BenchStudyResult result = test::sample_bench();
    result.reference_density = 1.225;

    const json slot = json::parse(json_text(result))["set_ups"][0];

    CHECK(slot["cfm_density_kg_m3"] == 1.225);
    CHECK(slot["flow_cfm"].get<double>() == near(0.2541 / 1.225 / 4.719474e-4, 1e-6));
}

TEST_CASE("json: check lists numbers with key and unit") {
    CheckResult check;
    check.title = "x";
    check.case_digest = "sha256:0";
    check.numbers = {{"plenum.volume", "volume of the plenum", "m3", 0.00256}};
    check.warnings = {"w"};
    check.echo = {"slot.width = 6 mm (0.2362 in)"};

    const json result = json::parse(json_text(check));

    CHECK(result["format"] == "plenair.check/1");
    CHECK(result["numbers"][0]["key"] == "plenum.volume");
    CHECK(result["numbers"][0]["value"] == 0.00256);
    CHECK(result["numbers"][0]["unit"] == "m3");
    CHECK(result["echo"][0] == "slot.width = 6 mm (0.2362 in)");
}

TEST_CASE("json: a case text that is not UTF-8 does not break the output") {
    SolveResult result = test::sample_solve();
    result.case_text = "title = \"\xff\"\n";

    CHECK(json::accept(json_text(result)));
}

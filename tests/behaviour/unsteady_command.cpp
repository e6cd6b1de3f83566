#include <doctest/doctest.h>

#include "tests/support/run_plenair.hpp"

#include <nlohmann/json.hpp>

#include <filesystem>
#include <fstream>
#include <string>
#include <tuple>

// transient and response by the command line.
namespace {

const std::string tank = std::string(PLENAIR_SOURCE_DIR) + "/cases/shipped/header-rig/tank.toml";

}  // namespace

TEST_CASE("transient: the shipped tank writes what it says, in every form") {
    const auto folder = std::filesystem::temp_directory_path() / "plenair-unsteady";
    std::filesystem::create_directories(folder);
    const auto csv = (folder / "history.csv").string(), json = (folder / "history.json").string();
    const auto run = run_plenair({"transient", tank, "-o", json, "--csv", csv});
    REQUIRE(run.status == 0);
    CHECK(run.out.find("plenum pressure at the far end") != std::string::npos);
    CHECK(run.out.find("nan") == std::string::npos);
    std::ifstream file(json);
    const auto result = nlohmann::json::parse(file);
    CHECK(result["format"] == "plenair.transient/1");
    CHECK(result["finished"] == true);
    CHECK(result["time_s"].size() == 301);
    for (const auto& series : result["series"]) {
        CHECK(series["value"].size() == 301);
    }
    std::ifstream table(csv);
    std::string line;
    REQUIRE(std::getline(table, line));
    CHECK(line.starts_with("time_ms,throttle_angle_deg,plenum_pressure_kPa,"));
    int rows = 0;
    while (std::getline(table, line)) {
        ++rows;
    }
    CHECK(rows == 301);
    std::filesystem::remove_all(folder);
}

TEST_CASE("response: the shipped tank has its bottle's peak and half a wave along the plenum") {
    const auto run = run_plenair({"response", tank, "--json"});
    REQUIRE(run.status == 0);
    const auto result = nlohmann::json::parse(run.out);
    CHECK(result["swings"] == "room");
    bool bottle = false, wave = false;
    for (const auto& peak : result["peaks"]) {
        const double f = peak["frequency_hz"];
        bottle |= f > 70 && f < 82;
        wave |= f > 410 && f < 435;
    }
    CHECK(bottle);
    CHECK(wave);
}

TEST_CASE("transient, response: what does not fit is refused by place and remedy") {
    for (const auto& [verb, set, said] :
         {std::tuple{"transient",
                     "transient.throttle_angle={ time = \"0 ms\", "
                     "angle = \"2 deg\" }",
                     "below throttle.closed_angle (6 deg)"},
          {"transient",
           "transient.sine_amplitude=500 Pa",
           "no frequency; write sine_frequency = \"80 Hz\""},
          {"transient",
           "transient.sine_frequency=80 Hz",
           "no amplitude; write sine_amplitude = \"500 Pa\""},
          {"transient",
           "transient.start_pressure=90 kPa abs",
           "beside start = \"steady\"; leave one of them out"},
          {"transient", "transient.duration=150", "no unit; write \"150 ms\""},
          {"transient",
           "transient.source_pressure={ time = \"0, 5, 5 ms\", "
           "pressure = \"101, 102, 103 kPa abs\" }",
           "time row 3 (5 ms) is not above row 2 (5 ms)"},
          {"response", "response.to=10 Hz", "not above response.from (20 Hz); exchange the two"},
          {"response", "response.from=20 rpm", "measures speed, not frequency; use Hz, kHz"}}) {
        const std::string entry = set;
        CAPTURE(entry);
        const auto run = run_plenair({verb, tank, "--set", entry});
        CHECK(run.status == 2);
        CHECK(run.out.empty());
        CAPTURE(run.err);
        CHECK(run.err.find(said) != std::string::npos);
    }
    const auto engine =
        run_plenair({"transient",
                     std::string(PLENAIR_SOURCE_DIR) + "/cases/shipped/hill-climb-four/case.toml"});
    CHECK(engine.status == 2);
    CHECK(engine.err.find("transient is of rigs") != std::string::npos);
    const auto stored = run_plenair({"response", tank, "-o", "answer.h5"});
    CHECK(stored.status == 2);
    CHECK(stored.err.find("writes .json or .csv") != std::string::npos);
}

// Good case files: what a person types arrives in SI units, whatever unit it was typed in.

#include "cases/file/read.hpp"
#include "geometry/quantity.hpp"
#include "tests/support/document.hpp"
#include "tests/support/near.hpp"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <numbers>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

namespace {

namespace fs = std::filesystem;

constexpr double degree = std::numbers::pi / 180;
const fs::path root = PLENAIR_SOURCE_DIR;
const fs::path four_cylinders = root / "cases/shipped/hill-climb-four/case.toml";

std::string read_all(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

std::vector<fs::path> shipped() {
    std::vector<fs::path> files;
    for (const auto& entry : fs::recursive_directory_iterator(root / "cases/shipped")) {
        // Readings of a case stand beside it: tests/behaviour/measured_files.cpp reads them.
        const bool measured = entry.path().stem().string().ends_with("measured");
        if (entry.path().extension() == ".toml" && !measured) {
            files.push_back(entry.path());
        }
    }
    return files;
}

std::string with_crlf(const std::string& text) {
    std::string result;
    for (const char c : text) {
        result += c == '\n' ? std::string("\r\n") : std::string(1, c);
    }
    return result;
}

}  // namespace

TEST_CASE("case file: every shipped case is accepted and has its README") {
    CHECK(shipped().size() >= 6);
    for (const auto& file : shipped()) {
        const auto name = file.string();
        CAPTURE(name);
        CHECK_NOTHROW(plenair::read_case(name, {}));
        CHECK(fs::exists(file.parent_path() / "README.md"));
    }
}

TEST_CASE("case file: the hill-climb four arrives in SI units") {
    const auto c = plenair::read_case(four_cylinders.string(), {});
    CHECK(c.title == "Hill-climb four, two-chamber plenum");
    CHECK(c.has_engine);
    CHECK(c.barometer == near(93900, 1e-12));
    CHECK(c.engine.firing_order == std::vector<int>{1, 3, 4, 2});
    CHECK(c.engine.firing_angles.back() == near(540 * degree, 1e-12));
    CHECK(c.engine.intake.opens == near(332 * degree, 1e-12));
    CHECK(c.engine.intake.closes == near(604 * degree, 1e-12));
    CHECK(c.engine.exhaust.opens == near(114 * degree, 1e-12));
    CHECK(c.engine.exhaust.closes == near(384 * degree, 1e-12));
    const auto& bank = c.intake.banks.at(0);
    CHECK(bank.throttles.at(0).feeds == plenair::geometry::FeedTarget::pre_chamber);
    CHECK(bank.pre_chamber->area.at(0.4) == near(2100e-6, 1e-12));
    CHECK(bank.slot->pieces.at(0).width.at(0.2) == near(0.006, 1e-12));
    CHECK(bank.slot->area() == near(2328e-6, 1e-12));
    CHECK(bank.runners.at(3).x == near(0.3455, 1e-12));
    CHECK(bank.runners.at(0).length == near(0.260, 1e-12));
    CHECK(bank.runners.at(0).diameter.at(0.168) == near(0.043, 1e-9));
    CHECK(bank.runners.at(0).diameter.at(0.260) == near(0.041, 1e-9));
    CHECK(bank.cylinders == std::vector<int>{1, 2, 3, 4});
    CHECK(c.points.size() == 5);
    CHECK(c.points.at(3).speed == near(8600 * 2 * std::numbers::pi / 60, 1e-12));
    CHECK_FALSE(c.points.at(3).throttle_angle.has_value());
    CHECK(*c.points.at(4).throttle_angle == near(28 * degree, 1e-12));
    CHECK(c.points.at(3).combustion.lambda == near(0.8, 1e-12));
    CHECK(c.points.at(3).combustion.stoich == near(9.8, 1e-12));
    // 40 % of 2064 Pa (saturation at 18 degC, Sonntag 1990) in 93.9 kPa: 0.62198 x 825.6 / 93074.
    CHECK(c.points.at(3).humidity_ratio == near(0.005517, 2e-3));
}

TEST_CASE("case file: an engine without [bench] gets slot, runners and all at 28 inH2O") {
    const auto c = plenair::read_case(four_cylinders.string(), {});
    REQUIRE(c.bench.size() == 3);
    CHECK(c.bench[0].set_up == plenair::BenchSetUp::slot);
    CHECK(c.bench[1].set_up == plenair::BenchSetUp::runners);
    CHECK(c.bench[2].set_up == plenair::BenchSetUp::all);
    CHECK(c.bench[2].depression == near(plenair::geometry::from_unit(28, "inH2O"), 1e-12));
    CHECK(c.bench[2].pressure == near(101325, 1e-12));
    CHECK(c.bench[2].temperature == near(293.15, 1e-12));
}

TEST_CASE("case file: the header rig needs no engine") {
    const auto c = plenair::read_case((root / "cases/shipped/header-rig/case.toml").string(), {});
    CHECK_FALSE(c.has_engine);
    const auto& bank = c.intake.banks.at(0);
    CHECK(bank.pre_chamber->open_start);
    CHECK(bank.throttles.empty());
    CHECK(*bank.slot->cd == near(0.62, 1e-12));
    CHECK(c.model.friction == plenair::Friction::off);
    CHECK_FALSE(c.model.jet);
    REQUIRE(c.bench.size() == 1);
    CHECK(c.bench[0].depression == near(200, 1e-12));
}

TEST_CASE("case file: inches and gauge pressure say the same as millimetres and absolute") {
    const auto metric =
        plenair::read_case(four_cylinders.string(), {"point.A4.pressure=250.0 kPa abs"});
    const auto inches = plenair::read_case(four_cylinders.string(),
                                           {"slot.width=0.2362204724 in",
                                            "engine.bore=3.440944882 in",
                                            "point.A4.pressure=22.64 psi g"});
    CHECK(inches.intake.banks[0].slot->area() == near(metric.intake.banks[0].slot->area(), 1e-9));
    CHECK(inches.engine.bore == near(metric.engine.bore, 1e-9));
    // 22.64 psi above 93.9 kPa is 250.0 kPa to four digits.
    CHECK(inches.points[3].pressure == near(250.0e3, 2e-5));
}

TEST_CASE("case file: at another barometer the same gauge pressure is another absolute one") {
    const auto c = plenair::read_case(
        four_cylinders.string(), {"site.barometer=84.8 kPa abs", "point.A4.pressure=22.64 psi g"});
    CHECK(c.points[3].pressure == near(240.9e3, 2e-4));
}

TEST_CASE("case file: line ends of either kind are accepted and mean the same") {
    const auto text = read_all(four_cylinders);
    const auto lf = plenair::parse_case(text, "case.toml", {});
    const auto crlf = plenair::parse_case(with_crlf(text), "case.toml", {});
    CHECK(lf.digest == crlf.digest);
    CHECK(lf.warnings == crlf.warnings);
}

TEST_CASE("case file: the digest changes with an entry and not with its unit") {
    const auto digest = [](const std::vector<std::string>& sets) {
        return plenair::read_case(four_cylinders.string(), sets).digest;
    };
    CHECK(digest({}).size() == std::string("sha256:").size() + 64);
    CHECK(digest({}) == digest({"slot.width=0.6 cm"}));
    CHECK(digest({}) != digest({"slot.width=6.1 mm"}));
    CHECK(digest({}) != digest({"point.A1.lambda=0.87"}));
}

TEST_CASE("case file: the text after --set reads back as the same case") {
    const auto changed =
        plenair::read_case(four_cylinders.string(),
                           {"slot.width=5 mm", "point.5.throttle_angle=open", "model.jet=off"});
    const auto again = plenair::parse_case(changed.text, "stored.toml", {});
    CHECK(again.digest == changed.digest);
    CHECK(again.intake.banks[0].slot->area() == near(0.388 * 0.005, 1e-12));
    CHECK_FALSE(again.points[4].throttle_angle.has_value());
    CHECK(plenair::read_case(four_cylinders.string(), {}).text == read_all(four_cylinders));
}

TEST_CASE("case file: the echo shows millimetres and inches") {
    const auto c = plenair::read_case(four_cylinders.string(), {});
    CHECK(std::find(c.echo.begin(), c.echo.end(), "slot.width = 6 mm (0.2362 in)") != c.echo.end());
}

TEST_CASE("case file: legal but unusual entries are warnings with their place") {
    const auto c = plenair::read_case(four_cylinders.string(),
                                      {"bench.depression=28 kPa",
                                       "model.regain=1.3",
                                       "runner.bell_outer_diameter=99 mm",
                                       "plenum.perimeter=10 mm"});
    const auto warned = [&c](const std::string& words) {
        return std::any_of(c.warnings.begin(), c.warnings.end(), [&](const std::string& warning) {
            return warning.find(words) != std::string::npos;
        });
    };
    CHECK(warned("bench.depression = 28 kPa: 112 inH2O: outside usual 10-60"));
    CHECK(warned("model.regain = 1.3: outside the usual 0.90 to 1.20"));
    CHECK(
        warned("bell outer diameter 99.0 mm of runner 1 and runner 2 exceeds their pitch of 97.0 "
               "mm: overlap 2.0 mm"));
    CHECK(warned("valve.intake.cd: intake valve Cd table ends at L/D 0.3, the lift reaches 0.304"));
    CHECK(warned("plenum.perimeter: 10.0 mm is less than the wall of a round section of "));
}

TEST_CASE("case file: two banks share the cylinders of one engine") {
    const auto text = read_all(root / "tests/behaviour/wrong_files/bank-cylinder-twice.toml");
    const auto c = plenair::parse_case(text, "banks.toml", {"bank.right.cylinders=[3, 4]"});
    REQUIRE(c.intake.banks.size() == 2);
    CHECK(c.intake.banks[1].name == "right");
    CHECK(c.intake.banks[1].cylinders == std::vector<int>{3, 4});
    CHECK(c.intake.banks[1].runners.size() == 2);
    CHECK(c.intake.banks[1].throttles.size() == 1);
}

TEST_CASE("case file: the committed manual is the one the key table gives") {
    plenair::test::check_document("docs/case-file.md", plenair::case_file_manual());
}

TEST_CASE("case file: the schema is JSON and knows every section") {
    const auto schema = nlohmann::json::parse(plenair::json_schema());
    CHECK(schema["properties"]["slot"]["properties"].contains("width"));
    // Name, speed and exhaust; the charge before the throttle or at the compressor.
    CHECK(schema["properties"]["point"]["items"]["required"].size() >= 3);
    CHECK(schema["properties"]["point"]["items"]["oneOf"].size() == 2);
    CHECK(schema["properties"]["valve"]["properties"]["intake"]["properties"].contains("lift"));
}

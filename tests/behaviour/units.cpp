#include "cases/file/read.hpp"
#include "cases/live/controls.hpp"
#include "cases/report/csv.hpp"
#include "cases/report/drawing/drawing.hpp"
#include "cases/report/dxf/dxf.hpp"
#include "cases/report/sheet/sheet.hpp"
#include "cases/report/terminal.hpp"
#include "cases/study/case.hpp"
#include "cases/study/check.hpp"
#include "cases/study/solve.hpp"
#include "geometry/error.hpp"
#include "geometry/quantity.hpp"
#include "tests/support/inch_case.hpp"
#include "tests/support/near.hpp"
#include "tests/support/quick_four.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <sstream>
#include <string>
#include <vector>

/// Who writes inches reads inches; the numbers are those of the metric case.
namespace {

using namespace plenair;

std::string metric_text() {
    return test::quick_four(test::two_points);
}

std::string inch_text() {
    return test::in_inches(metric_text());
}

/// Trimmed lines of a DXF file.
std::vector<std::string> lines_of(const std::string& dxf) {
    std::istringstream stream(dxf);
    std::vector<std::string> lines;
    for (std::string line; std::getline(stream, line);) {
        line.erase(line.find_last_not_of(" \r") + 1);
        lines.push_back(line.substr(std::min(line.find_first_not_of(' '), line.size())));
    }
    return lines;
}

/// Value of a header variable.
std::string group_behind(const std::string& dxf, const std::string& variable) {
    const auto lines = lines_of(dxf);
    for (std::size_t i = 0; i + 2 < lines.size(); ++i) {
        if (lines[i] == variable) return lines[i + 2];
    }
    return "";
}

/// What the DIMENSION entities measure, group 42.
std::vector<double> measured(const std::string& dxf) {
    const auto lines = lines_of(dxf);
    std::vector<double> values;
    bool dimension = false;
    for (std::size_t i = 0; i + 1 < lines.size(); i += 2) {
        if (lines[i] == "0") dimension = lines[i + 1] == "DIMENSION";
        if (dimension && lines[i] == "42") values.push_back(std::stod(lines[i + 1]));
    }
    return values;
}

std::string refusal(const std::string& text, const std::vector<std::string>& sets) {
    try {
        (void)parse_case(text, "case.toml", sets);
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

}  // namespace

TEST_CASE("units: the same engine in inches and in millimetres gives the same air to 1e-6") {
    const Case metric = parse_case(metric_text(), "mm.toml", {});
    const Case inch = parse_case(inch_text(), "inch.toml", {});
    CHECK_FALSE(metric.units.inches());
    CHECK(inch.units.inches());
    SolveOptions options;
    const auto a = solve(metric, options);
    const auto b = solve(inch, options);
    REQUIRE(a.points.size() == b.points.size());
    for (std::size_t p = 0; p < a.points.size(); ++p) {
        CAPTURE(a.points[p].name);
        CHECK(b.points[p].air_flow == near(a.points[p].air_flow, 1e-6));
        CHECK(b.points[p].slot_loss == near(a.points[p].slot_loss, 1e-6));
        REQUIRE(a.points[p].cylinders.size() == b.points[p].cylinders.size());
        for (std::size_t c = 0; c < a.points[p].cylinders.size(); ++c) {
            CHECK(b.points[p].cylinders[c].share == near(a.points[p].cylinders[c].share, 1e-6));
            CHECK(b.points[p].cylinders[c].air_trapped ==
                  near(a.points[p].cylinders[c].air_trapped, 1e-6));
        }
    }
}

TEST_CASE("units: check and its entries are read in the units of the file") {
    const auto metric = terminal_text(check(parse_case(metric_text(), "mm.toml", {})), false);
    const auto inch = terminal_text(check(parse_case(inch_text(), "inch.toml", {})), false);
    CHECK(has(metric, "slot.width = 6 mm (0.2362 in)"));
    CHECK(has(inch, "slot.width = 0.2362 in (6 mm)"));
    CHECK(has(metric, "section of the plenum"));
    CHECK(has(metric, "6400 mm2 (9.92 in2)"));
    CHECK(has(inch, "9.92 in2 (6400 mm2)"));
    // What was typed comes back: no 3999.992 mm2 for 6.2 in2 and no 7.61999 mm for 0.300 in.
    const auto typed =
        parse_case(inch_text(), "inch.toml", {"plenum.area=6.2 in2", "slot.land=0.300 in"});
    bool area = false, land = false;
    for (const auto& line : typed.echo) {
        area = area || line == "plenum.area = 6.2 in2 (4000 mm2)";
        land = land || line == "slot.land = 0.3 in (7.62 mm)";
    }
    CHECK(area);
    CHECK(land);
    const auto mixed = parse_case(metric_text(), "mm.toml", {"plenum.area=6.2 in2"});
    bool rounded = false;
    for (const auto& line : mixed.echo) {
        rounded = rounded || line == "plenum.area = 4000 mm2 (6.2 in2)";
    }
    CHECK(rounded);
}

TEST_CASE("units: case.units and --units choose, change no number and no digest") {
    const Case as_written = parse_case(metric_text(), "mm.toml", {});
    const Case chosen = parse_case(metric_text(), "mm.toml", {"case.units=inch"});
    CHECK(chosen.units.inches());
    CHECK(chosen.digest == as_written.digest);
    CHECK_FALSE(parse_case(inch_text(), "inch.toml", {"case.units=mm"}).units.inches());
    const ScratchFolder folder;
    const auto path = folder.write("case.toml", metric_text());
    const auto run = run_plenair({"check", path, "--units", "inch"});
    CHECK(run.status == 0);
    CHECK(has(run.out, "slot.width = 0.2362 in (6 mm)"));
    CHECK(has(run_plenair({"check", path, "--units", "feet"}).err, "--units"));
}

TEST_CASE("units: a number without unit in an inch file is answered in inches") {
    const auto in_inch_case = inch_text();
    CHECK(has(refusal(in_inch_case, {"slot.width=0.3"}), "no unit; write \"0.3 in\""));
    CHECK(has(refusal(in_inch_case, {"plenum.area=8.5"}), "write \"8.5 in2\""));
    CHECK(has(refusal(metric_text(), {"slot.width=0.3"}), "write \"0.3 mm\""));
    // Bounds and examples are named in inches too.
    const auto high = refusal(in_inch_case, {"valve.intake.lift=3 in"});
    CHECK(has(high, "at most 1.97 in; write e.g. \"0.425 in\""));
    CHECK_FALSE(has(refusal(in_inch_case, {"slot.outlet_edge=-1 in"}), " mm"));
}

TEST_CASE("units: findings of the geometry are in the units of the file") {
    const std::vector<std::string> far{"runner.x=2, 6, 10, 30 in"};
    try {
        (void)parse_case(inch_text(), "inch.toml", far);
        FAIL("accepted");
    } catch (const InputError& error) {
        CHECK(has(error.what(), "30.000 in lies outside plenum 0-15.748 in"));
        CHECK_FALSE(has(error.what(), " mm"));
    }
}

TEST_CASE("units: tables of numbers carry units that people paste, whatever the case is in") {
    const Case inch = parse_case(inch_text(), "inch.toml", {});
    SolveOptions options;
    options.points = {"top"};
    const auto result = solve(inch, options);
    REQUIRE(result.points.size() == 1);
    const auto text = csv_text(result);
    for (const auto* column : {"source_pressure_kpa",
                               "source_temperature_degc",
                               "air_flow_g_s",
                               "slot_loss_kpa",
                               "air_trapped_mg_cycle"}) {
        CAPTURE(column);
        CHECK(has(text, column));
    }
    CHECK(has(text, ",250,48.85,"));
}

TEST_CASE(
    "units: drawing, DXF and sheet of an inch case are in inches, each number once more in mm") {
    const Case inch = parse_case(inch_text(), "inch.toml", {"slot.width=0.300 in"});
    const Case metric = parse_case(metric_text(), "mm.toml", {"slot.width=7.62 mm"});
    DrawingOptions options;
    options.units = inch.units;
    const auto svg = drawing_svg(inch.intake, options);
    CHECK(has(svg, "Dimensions in inches"));
    CHECK(has(svg, "9.92 in\u00b2"));
    CHECK_FALSE(has(svg, "mm\u00b2"));
    CHECK(has(drawing_svg(metric.intake, {}), "6400 mm\u00b2"));

    const auto inch_dxf = dxf_text(intake_drawing(inch.intake, inch.title, inch.units));
    const auto metric_dxf = dxf_text(intake_drawing(metric.intake, metric.title, metric.units));
    CHECK(group_behind(inch_dxf, "$INSUNITS") == "1");
    CHECK(group_behind(metric_dxf, "$INSUNITS") == "4");
    CHECK(group_behind(inch_dxf, "$MEASUREMENT") == "0");
    // The part has its size in the file's own unit: every dimension that measures is 25.4 times
    // smaller.
    const auto in = measured(inch_dxf), mm = measured(metric_dxf);
    REQUIRE(in.size() == mm.size());
    REQUIRE(in.size() > 10);
    for (std::size_t i = 0; i < in.size(); ++i) CHECK(25.4 * in[i] == near(mm[i], 1e-6, 1e-6));

    const auto sheet = sheet_html(machining_sheets(inch, {}));
    CHECK(has(sheet, "Sizes in inches (mm in brackets)"));
    CHECK(has(sheet, "0.3000 (7.62)"));
    CHECK(has(sheet_html(machining_sheets(metric, {})), "7.62 (0.3000)"));
    const auto sheets = machining_sheets(inch, {});
    for (const auto& station : sheets.front().stations) {
        const double thousandths = 1000 * geometry::to_unit(station.go, "in");
        CHECK(thousandths == near(std::round(thousandths), 0, 1e-6));
        CHECK(station.go >= station.width.low - 1e-9);
        CHECK(station.no_go <= station.width.high + 1e-9);
    }
}

TEST_CASE("units: the sliders of an inch case move in inches, in steps of an inch shop") {
    const auto entries = live_entries(parse_case(inch_text(), "inch.toml", {}));
    REQUIRE_FALSE(entries.empty());
    bool slot = false;
    for (const auto& entry : entries) {
        CAPTURE(entry.key);
        CHECK(entry.unit != "mm");
        CHECK(entry.unit != "mm2");
        slot = slot || (entry.key == "slot.width" && entry.unit == "in" &&
                        entry.numbers.front().step == 0.005);
    }
    CHECK(slot);
}

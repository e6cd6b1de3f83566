#include "cases/study/bench_compare.hpp"
#include "geometry/quantity.hpp"
#include "tests/support/document.hpp"
#include "tests/support/layouts.hpp"
#include "tests/support/measured.hpp"
#include "tests/support/near.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

/// Measured files: what is read and what is refused with place and remedy. Numbers of the demo
/// engine are made up.
namespace {

using plenair::Case;
using plenair::InputError;
using plenair::Measured;
using plenair::test::hill_climb;
using plenair::test::measured;
using plenair::test::refusal;
using plenair::test::slot_bench;

}  // namespace

TEST_CASE("measured file: the shipped one is read, with what it does not state") {
    const auto m =
        plenair::read_measured("cases/shipped/hill-climb-four/measured.toml", hill_climb());
    CHECK(m.made_up);
    REQUIRE(m.gauges.size() == 1);
    CHECK(m.gauges[0].x.size() == 9);
    CHECK(m.gauges[0].mean() == near(6.0122e-3, 1e-4));
    CHECK(m.gauges[0].uncertainty == near(1e-5, 1e-12));
    REQUIRE(m.bench.size() == 1);
    CHECK(m.bench[0].leakage / m.bench[0].flow_read == near(0.006, 1e-12));
    REQUIRE(m.engine.size() == 1);
    CHECK(m.engine[0].lambda_count() == 4);
    REQUIRE(m.defaults.size() == 1);
    CHECK(has(m.defaults[0], "slot.width, pin gauge: +/-0.01 mm, not stated"));
}

TEST_CASE("measured file: 274 CFM at 10 inH2O are 447 at 28 by the isentropic form") {
    // Worked example of the trade: the square root form would say 458.
    const auto m = measured(
        "[[bench]]\nset_up = \"slot\"\ndepression = \"10 inH2O\"\nflow = \"274 CFM\"\ntemperature "
        "= "
        "\"20 degC\"\nbarometer = \"101.325 kPa abs\"\n");
    const double depression = plenair::geometry::from_unit(28, "inH2O");
    const double cfm =
        plenair::geometry::to_unit(plenair::at_depression(m.bench[0], depression), "CFM");
    CHECK(cfm == near(447, 2e-3));
}

TEST_CASE("measured file: CFM without its air is asked for, g/s is not") {
    const std::string head = "[[bench]]\nset_up = \"slot\"\ndepression = \"28 inH2O\"\n";
    const auto text = refusal(head + "flow = \"431 CFM\"\n");
    CHECK(has(text, "m.toml:5:8: bench.1.flow = 431 CFM"));
    CHECK(has(text, "temperature and barometer are not stated"));
    CHECK(has(text, "write temperature = \"20 degC\" and barometer = \"101.3 kPa abs\""));
    CHECK(refusal(head + "flow = \"431 CFM\"\ndensity = \"1.204 kg/m3\"\n") == "accepted");
    CHECK(refusal(head + "flow = \"254 g/s\"\n") == "accepted");
    CHECK(has(refusal(head + "flow = \"431\"\n"), "no unit"));
    CHECK(has(refusal(head), "no flow; write flow"));
}

TEST_CASE("measured file: leakage is taken off in any unit, doubted above 3 %") {
    const auto share = measured(slot_bench + "flow = \"400 CFM\"\nleakage = \"1 %\"\n");
    const auto volume = measured(slot_bench + "flow = \"400 CFM\"\nleakage = \"4 CFM\"\n");
    CHECK(share.bench[0].flow() == near(volume.bench[0].flow(), 1e-12));
    const auto leaky = measured(slot_bench + "flow = \"400 CFM\"\nleakage = \"4 %\"\n");
    REQUIRE_FALSE(leaky.warnings.empty());
    CHECK(has(leaky.warnings[0], "above 3 %"));
    const auto compared = plenair::compare_with_bench(hill_climb(), leaky);
    CHECK(compared.items[0].verdict == "leakage 4.0 %");
}

TEST_CASE("measured file: an orifice and its pressure difference give the flow") {
    // 60 mm, Cd 0.6, 1 kPa, air of 1.2041 kg/m3: Cd A sqrt(2 rho dp) less the expansion of 0.4 %.
    const auto m = measured(
        slot_bench + "orifice_diameter = \"60 mm\"\norifice_cd = 0.6\norifice_drop = \"1 kPa\"\n");
    CHECK(m.bench[0].flow_read == near(0.6 * 2.82743e-3 * std::sqrt(2 * 1.2041 * 1000), 6e-3));
}

TEST_CASE("measured file: what is wrong is named with place and remedy") {
    const std::string engine = "[[engine]]\npoint = \"A4\"\n";
    CHECK(has(refusal(engine + "lambda = [12.5, 12.4, 12.6, 12.3]\n"),
              "m.toml:4:10: engine.1.lambda = [12.5, 12.4, 12.6, 12.3]: item 1: looks like an "
              "air-fuel ratio"));
    CHECK(has(refusal(engine + "cylinders = [1, 2, 2, 4]\nlambda = [0.8, 0.8, 0.8, 0.8]\n"),
              "cylinder 2 stands twice"));
    CHECK(has(refusal(engine + "cylinders = [7]\nlambda = [0.8]\n"), "cylinder 7 of 4"));
    CHECK(has(refusal(engine + "lambda = [0.8, 0.8, 0.8]\n"), "3 values for 4 cylinders"));
    CHECK(has(refusal(engine + "lambda = [0.8, nan, 0.8, 0.8]\n"), "not a finite number"));
    CHECK(has(refusal("[[engine]]\npoint = \"A9\"\nlambda = [0.8, 0.8, 0.8, 0.8]\n"),
              "no such point in the case; did you mean"));
    CHECK(has(refusal(engine + "lambda = [0.8, 0.8, 0.8, 0.8]\n" + engine),
              "this point was read above already"));
    CHECK(has(refusal(engine + "lamda = [0.8, 0.8, 0.8, 0.8]\n"),
              "unknown key engine.1.lamda; did you mean engine.1.lambda?"));
    CHECK(has(refusal(engine + "plenum_pressure = \"300 kPa abs\"\n"),
              "above the 250 kPa abs before the throttle"));
    CHECK(has(refusal("[[gauge]]\nentry = \"slot.width\"\nvalue = \"6.01\"\n"), "no unit"));
    CHECK(has(refusal("[[gauge]]\nentry = \"slot.width\"\nvalue = \"6.02, 6.01, 6.01, 6.00, 6.01, "
                      "6.02, 6.01, 6.01 mm\"\n"),
              "8 values for the 9 stations of the machining sheet"));
    CHECK(has(refusal("[[gauge]]\nentry = \"slot.width\"\nvalue = \"60 mm\"\n"),
              "60 mm found where 6 mm are drawn"));
    CHECK(has(refusal("[[bench]]\nset_up = \"runner\"\nrunner = 5\ndepression = \"28 inH2O\"\nflow "
                      "= \"90 g/s\"\n"),
              "runner 5 of 4"));
    CHECK(has(refusal(""), "no reading in the file"));
    CHECK_THROWS_AS((void)plenair::parse_measured("", "m.toml", hill_climb()), InputError);
}

TEST_CASE("measured file: a point is read again only with the sensors in other places") {
    const std::string a4 = "[[engine]]\npoint = \"A4\"\nlambda = [0.81, 0.80, 0.82, 0.79]\n";
    CHECK(has(refusal(a4 + a4), "this point was read above already; put both into one"));
    CHECK(has(refusal(a4 + a4 + "sensor_order = [1, 2, 3, 4]\n"), "was read above already"));
    const auto m = measured(a4 + a4 + "sensor_order = [2, 1, 3, 4]\n");
    REQUIRE(m.engine.size() == 2);
    CHECK(m.engine[0].sensor_of(0) == 0);
    CHECK(m.engine[1].sensor_of(0) == 1);
    CHECK(m.engine[1].sensor_of(1) == 0);
    CHECK(m.engine[1].sensor_of(3) == 3);
    CHECK(m.engine[1].name == "A4 (2)");
    CHECK(has(refusal(a4 + "sensor_order = [2, 2, 3, 4]\n"), "sensor 2 stands twice"));
    CHECK(has(refusal(a4 + "sensor_order = [2, 1]\n"), "2 sensors for 4 cylinders"));
    CHECK(has(refusal(a4 + "sensor_order = [2, 1, 3, 7]\n"), "sensor 7 of 4"));
}

TEST_CASE("measured file: what each message tells to write is accepted") {
    const std::string a4 = "[[engine]]\npoint = \"A4\"\n";
    const std::string four_lambdas = "lambda = [0.81, 0.80, 0.82, 0.79]\n";
    const std::string width = "[[gauge]]\nentry = \"slot.width\"\nvalue = ";
    const std::string slot = "[[bench]]\nset_up = \"slot\"\ndepression = \"28 inH2O\"\n";
    struct Pair {
        std::string bad, said, remedied;
    };
    const std::vector<Pair> pairs{
        {a4 + "lambda = [7.9, 7.8, 8.0, 7.7]\n",
         "looks like an air-fuel ratio",
         a4 + "air_fuel_ratio = [7.9, 7.8, 8.0, 7.7]\n"},
        {a4 + "cylinders = [1, 2, 2, 4]\n" + four_lambdas,
         "name each once",
         a4 + "cylinders = [1, 2, 3, 4]\n" + four_lambdas},
        {a4 + "cylinders = [7]\nlambda = [0.8]\n",
         "the engine has 4 cylinders",
         a4 + "cylinders = [4]\nlambda = [0.8]\n"},
        {a4 + "lambda = [0.81, 0.80, 0.79]\n",
         "name the measured ones with cylinders = [...]",
         a4 + "cylinders = [1, 2, 4]\nlambda = [0.81, 0.80, 0.79]\n"},
        {"[[engine]]\npoint = \"a4\"\n" + four_lambdas, "did you mean A4?", a4 + four_lambdas},
        {a4 + four_lambdas + a4 + four_lambdas,
         "say so by sensor_order",
         a4 + four_lambdas + a4 + four_lambdas + "sensor_order = [2, 1, 3, 4]\n"},
        {width + "\"6.01\"\n", "no unit", width + "\"6.01 mm\"\n"},
        {width + "\"6.0, 6.0, 6.0, 6.0, 6.0, 6.0, 6.0, 6.0 mm\"\n",
         "gauge the missing one",
         width + "\"6.0, 6.0, 6.0, 6.0, 6.0, 6.0, 6.0, 6.0, 6.0 mm\"\n"},
        {slot + "flow = \"431 CFM\"\n",
         "write temperature = \"20 degC\" and barometer = \"101.3 kPa abs\"",
         slot + "flow = \"431 CFM\"\ntemperature = \"20 degC\"\nbarometer = \"101.3 kPa abs\"\n"},
        {slot, "no flow; write flow", slot + "flow = \"254 g/s\"\n"},
        {"", "no reading in the file", a4 + four_lambdas},
    };
    for (const auto& pair : pairs) {
        CAPTURE(pair.bad);
        CHECK(has(refusal(pair.bad), pair.said));
        CHECK(refusal(pair.remedied) == "accepted");
    }
}

TEST_CASE("measured file: a pressure tap lies in the plenum and in no bell mouth") {
    const std::string a4 = "[[engine]]\npoint = \"A4\"\nplenum_pressure = \"238 kPa abs\"\n";
    CHECK(measured(a4 + "tap = \"200 mm\"\n").engine[0].tap == 0.2);
    CHECK(has(refusal(a4 + "tap = \"151.5 mm\"\n"),
              "m.toml:5:7: engine.1.tap = 151.5 mm: inside a bell mouth"));
    CHECK(has(refusal(a4 + "tap = \"410 mm\"\n"), "beyond the plenum, which is 400 mm long"));
    CHECK(has(refusal("[[engine]]\npoint = \"A4\"\nlambda = [0.8, 0.8, 0.8, 0.8]\ntap = \"200 "
                      "mm\"\n"),
              "without plenum_pressure; state what was read there"));
}

TEST_CASE("measured file: of several banks each reading says which") {
    const Case c = plenair::test::layout("v2-two-banks");
    const auto said = [&](const std::string& body) -> std::string {
        try {
            (void)plenair::parse_measured("format = 1\n" + body, "m.toml", c);
        } catch (const InputError& error) {
            return error.what();
        }
        return "accepted";
    };
    const std::string slot = "set_up = \"slot\"\ndepression = \"28 inH2O\"\nflow = \"300 g/s\"\n";
    CHECK(has(said("[[bench]]\n" + slot),
              "m.toml:2:1: bench.1.bank: missing, for the case has the banks front, rear; write "
              "bank = \"front\""));
    CHECK(said("[[bench]]\nbank = \"front\"\n" + slot) == "accepted");
    CHECK(said("[[bench]]\nbank = \"2\"\n" + slot) == "accepted");
    CHECK(has(said("[[bench]]\nbank = \"left\"\n" + slot),
              "no such bank in the case; it has front and rear"));
    // A runner has the number of its cylinder, which tells the bank too.
    const std::string runner =
        "[[bench]]\nset_up = \"runner\"\nrunner = 2\ndepression = \"10 inH2O\"\nflow = \"90 "
        "g/s\"\n";
    const auto m = plenair::parse_measured("format = 1\n" + runner, "m.toml", c);
    REQUIRE(m.bench.size() == 1);
    CHECK(m.bench[0].bank == 1U);
    CHECK(m.bench[0].runner == 1);
    CHECK(m.bench[0].name == "rear: runner 2");
    CHECK(has(said("[[bench]]\nbank = \"front\"\n" + runner.substr(10)),
              "runner 2 of 1; the bank has the runners 1"));
    const std::string radius = "entry = \"slot.edge_radius\"\nvalue = \"1.2 mm\"\n";
    CHECK(has(said("[[gauge]]\n" + radius), "gauge.1.bank: missing"));
    CHECK(said("[[gauge]]\nbank = \"rear\"\n" + radius) == "accepted");
    CHECK(has(refusal("[[gauge]]\nbank = \"rear\"\n" + radius),
              "the case has one bank only; remove the line"));
    // The blank file names the bank of every line that needs one, and reads once filled in.
    const auto blank = plenair::blank_measured(c);
    CHECK(has(blank, "# bank = \"rear\""));
    std::string filled;
    std::istringstream lines(blank);
    for (std::string line; std::getline(lines, line);) {
        if (!has(line, "____") && line.starts_with("# ") && !line.ends_with("----")) {
            line.erase(0, 2);
        }
        filled += line + "\n";
    }
    CAPTURE(filled);
    CHECK_FALSE(has(said(filled), "bank"));
}

TEST_CASE("measured file: a missing station is named by number and place") {
    const auto m =
        plenair::read_measured("cases/shipped/hill-climb-four/measured.toml", hill_climb());
    std::string x;
    std::string value;
    std::string missing;
    for (std::size_t i = 0; i < m.gauges[0].x.size(); ++i) {
        const auto at = plenair::geometry::format_in(m.gauges[0].x[i], "mm", 6);
        if (i == 4) {
            missing = "station 5 (x ";
            continue;
        }
        x += (x.empty() ? "" : ", ") + at;
        value += value.empty() ? "6.01" : ", 6.01";
    }
    const auto text = refusal("[[gauge]]\nentry = \"slot.width\"\nx = \"" + x +
                              " mm\"\nvalue = \"" + value + " mm\"\n");
    CHECK(has(text, missing));
    CHECK(has(text, "gauge it"));
}

TEST_CASE("measured file: air-fuel ratio by the case's fuel, refused on another scale") {
    const auto m =
        measured("[[engine]]\npoint = \"A4\"\nair_fuel_ratio = [7.84, 7.84, 7.84, 7.84]\n");
    CHECK(*m.engine[0].lambda[0] == near(0.8, 1e-12));
    CHECK(has(refusal("[[engine]]\npoint = \"A4\"\nair_fuel_ratio = [24, 24, 24, 24]\n"),
              "is it on another fuel's scale?"));
}

TEST_CASE("measured file: the blank one of a case reads once it is filled in") {
    const auto blank = plenair::blank_measured(hill_climb());
    CHECK(has(blank, "# point = \"A5\""));
    CHECK(has(blank, "# entry = \"slot.edge_radius\""));
    CHECK_THROWS_AS((void)plenair::parse_measured(blank, "m.toml", hill_climb()), InputError);
    const auto filled = blank + "\n[[gauge]]\nentry = \"slot.edge_radius\"\nvalue = \"1.9 mm\"\n";
    CHECK(plenair::parse_measured(filled, "m.toml", hill_climb()).gauges.size() == 1);
}

TEST_CASE("measured file: the page of the documentation is the one of the key table") {
    plenair::test::check_document("docs/measured-file.md", plenair::measured_file_manual());
}

TEST_CASE("measured file: every shipped case has one, which says that it is made up") {
    namespace fs = std::filesystem;
    std::size_t count = 0;
    for (const auto& entry : fs::recursive_directory_iterator("cases/shipped")) {
        const auto& path = entry.path();
        const auto stem = path.stem().string();
        if (path.extension() != ".toml" || stem.ends_with("measured")) {
            continue;
        }
        const auto readings =
            path.parent_path() / (stem == "case" ? "measured.toml" : stem + "-measured.toml");
        CAPTURE(readings.string());
        const Case c = plenair::read_case(path.string(), {});
        Measured m;
        CHECK_NOTHROW(m = plenair::read_measured(readings.string(), c));
        CHECK(m.made_up);
        ++count;
    }
    CHECK(count >= 6);
}

TEST_CASE("measured file: a blank that is left in a line is named, not what TOML says of it") {
    const auto blank = plenair::blank_measured(hill_climb());
    std::string filled;
    std::istringstream lines(blank);
    for (std::string line; std::getline(lines, line);) {
        const bool begun = has(filled, "\n[[bench]]") && !has(filled, "runner");
        const bool of_it = line.starts_with("# [[bench]]") ? !has(filled, "[[bench]]") : begun;
        filled += (of_it && line.starts_with("# ") ? line.substr(2) : line) + "\n";
    }
    const auto text = refusal(filled.substr(filled.find("format = 1") + 10));
    CAPTURE(text);
    CHECK(has(text, ": leakage: ____ is not filled in; write the reading, or # before the line"));
    CHECK(has(text, ": station_flows: ____ is not filled in"));
    CHECK_FALSE(has(text, "TOML"));
}

TEST_CASE("measured file: the blank of an inch shop is in its units") {
    auto c = hill_climb();
    CHECK(has(plenair::blank_measured(c), "temperature = \"____ degC\""));
    c.units.system = plenair::geometry::UnitSystem::inch;
    const auto blank = plenair::blank_measured(c);
    for (const char* unit :
         {"____ in\"", "____ degF", "____ inHg abs", "____ psi abs", "____ lb/min"}) {
        CAPTURE(unit);
        CHECK(has(blank, unit));
    }
    for (const char* unit : {"degC", "kPa abs\"", "g/s", "mm\""}) {
        CAPTURE(unit);
        CHECK_FALSE(has(blank, unit));
    }
}

TEST_CASE("measured file: a size that is gauged twice is asked for once") {
    const std::string radius = "[[gauge]]\nentry = \"slot.edge_radius\"\nvalue = \"1.9 mm\"\n";
    const auto text = refusal(radius + radius);
    CHECK(has(text, "slot.edge_radius was gauged above already; keep one table of it"));
    CHECK(refusal(radius) == "accepted");
}

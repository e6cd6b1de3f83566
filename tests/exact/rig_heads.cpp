#include "tests/reference/duct_ends.hpp"
#include "tests/support/near.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <string>
#include <vector>

// Heads on the bench with the valve at a fixed lift, through the command line: mouth, tapered
// runner and valve in series without friction have a closed form (NACA Report 1135; Saint-Venant
// and Wantzel 1839), solved in tests/reference/duct_ends.hpp.

namespace {

using nlohmann::json;
namespace ref = plenair::reference;

constexpr double pi = 3.14159265358979323846;
constexpr double rt = 287.05 * 293.15;

struct HeadRig {
    std::string head = "runner";
    double pressure = 101325, depression = 6973;  // [Pa]
    double mouth = 46, port = 40;  // bores at the mouth and at the valve [mm]
    double entry_loss = 0.05;
    std::string more = "";

    [[nodiscard]] std::string text() const {
        return fmt::format(R"(format = 1
[source]
temperature = "293.15 K"
gas_constant = 287.05
gamma = 1.4
[bench]
head = "{}"
pressure = "{:.17g} Pa abs"
depression = "{:.17g} Pa"
{}
[runner]
x = "50 mm"
length = "150 mm"
port_length = "90 mm"
diameter = {{ start = "{:.17g} mm", end = "{:.17g} mm" }}
entry_loss = {}
[valve.intake]
count = 2
head = "33 mm"
seat_width = "1.4 mm"
throat = "29 mm"
stem = "5.5 mm"
cd = {{ lift_over_diameter = [0.05, 0.15, 0.30], cd = [0.67, 0.62, 0.44] }}
[model]
friction = "off"
)",
                           head,
                           pressure,
                           depression,
                           more,
                           mouth,
                           port,
                           entry_loss);
    }
    /// Effective area of both valves from their table, straight between its rows; these lifts keep
    /// the curtain smaller than the port.
    [[nodiscard]] static double effective(double lift) {
        const double l = lift / 33.0;
        const double cd = l < 0.15 ? 0.67 - 0.5 * (l - 0.05) : 0.62 - 1.2 * (l - 0.15);
        return 2 * cd * pi * 33e-3 * lift * 1e-3;
    }
    [[nodiscard]] static double circle(double bore) { return 0.25 * pi * bore * bore * 1e-6; }
    [[nodiscard]] double expected(double lift, double loss, double before) const {
        const ref::Gas gas;
        return ref::runner_flow(gas,
                                {circle(mouth), circle(port), effective(lift), loss},
                                before,
                                rt,
                                before - depression);
    }
};

json bench_of(const std::string& text, const std::vector<std::string>& options) {
    const ScratchFolder scratch;
    std::vector<std::string> arguments = {
        "bench", scratch.write("head.toml", text), "--json", "--quiet"};
    arguments.insert(arguments.end(), options.begin(), options.end());
    const auto outcome = run_plenair(arguments);
    REQUIRE_MESSAGE(outcome.status == 0, outcome.err);
    return json::parse(outcome.out);
}

}  // namespace

TEST_CASE("heads: mouth, runner and valve in series equal the closed form at every lift") {
    for (const double depression : {1000.0, 6973.0, 30000.0, 55000.0}) {
        CAPTURE(depression);
        const HeadRig rig{.depression = depression, .entry_loss = 0.2};
        const auto set_ups = bench_of(rig.text(), {"--lifts", "2, 5, 9 mm"})["set_ups"];
        REQUIRE(set_ups.size() == 3);
        const std::vector<double> lifts = {2, 5, 9};
        for (std::size_t i = 0; i < lifts.size(); ++i) {
            CAPTURE(lifts[i]);
            const double flow = set_ups[i]["flow_kg_s"];
            CHECK(flow == near(rig.expected(lifts[i], 0.2, rig.pressure), 1e-4));
            const auto& valve = set_ups[i]["valve"];
            CHECK(valve["lift_m"].get<double>() == near(1e-3 * lifts[i], 1e-12));
            // Each coefficient on its own area gives the flow back.
            const ref::Gas gas;
            const auto ideal = [&](double area) {
                return ref::orifice(gas, area, rig.pressure, rt, rig.pressure - depression);
            };
            const double curtain = 2 * pi * 33e-3 * lifts[i] * 1e-3;
            CHECK(valve["cd_curtain"].get<double>() * ideal(curtain) == near(flow, 1e-6));
            CHECK(valve["cd_seat"].get<double>() * ideal(2 * HeadRig::circle(29)) ==
                  near(flow, 1e-6));
            CHECK(valve["cd_head"].get<double>() * ideal(2 * HeadRig::circle(33)) ==
                  near(flow, 1e-6));
            CHECK(valve["cd_valve"].get<double>() * curtain ==
                  near(HeadRig::effective(lifts[i]), 1e-9));
        }
    }
}

TEST_CASE("heads: a port alone behind a lossless entry shows the valve's own coefficient") {
    const HeadRig rig{.head = "port", .mouth = 40, .entry_loss = 0.5};
    const auto bench = bench_of(rig.text(), {"--lifts", "1, 4, 9 mm"});
    for (const auto& set_up : bench["set_ups"]) {
        const auto& valve = set_up["valve"];
        CHECK(valve["cd_curtain"].get<double>() == near(valve["cd_valve"].get<double>(), 1e-4));
    }
}

TEST_CASE("heads: air that is blown enters above the room's pressure") {
    const HeadRig rig{.depression = 10000, .more = "blower = \"blows\""};
    const auto set_up = bench_of(rig.text(), {"--lifts", "6 mm"})["set_ups"][0];
    CHECK(set_up["flow_kg_s"].get<double>() == near(rig.expected(6, 0.05, 111325), 1e-4));
    CHECK(set_up["density_kg_m3"].get<double>() == near(111325 / rt, 1e-6));
}

TEST_CASE("heads: each cylinder of an engine, those alike together; port, runner, whole intake") {
    const std::string four =
        std::string(PLENAIR_SOURCE_DIR) + "/cases/shipped/hill-climb-four/case.toml";
    const auto run = [&](const std::string& head) {
        const auto outcome = run_plenair(
            {"bench", four, "--json", "--quiet", "--lifts", "9 mm", "--set", "bench.head=" + head});
        REQUIRE_MESSAGE(outcome.status == 0, outcome.err);
        return json::parse(outcome.out)["set_ups"];
    };
    const auto port = run("port");
    const auto runner = run("runner");
    const auto intake = run("intake");
    REQUIRE(port.size() == 1);
    CHECK(port[0]["valve"]["cylinders"] == json({1, 2, 3, 4}));
    REQUIRE(runner.size() == 1);
    REQUIRE(intake.size() == 4);
    // Whatever stands before the valve costs flow.
    const auto cd = [](const json& s) { return s["valve"]["cd_curtain"].get<double>(); };
    CHECK(cd(port[0]) < port[0]["valve"]["cd_valve"].get<double>());
    CHECK(cd(runner[0]) < cd(port[0]));
    for (const auto& one : intake) {
        CHECK(cd(one) < cd(runner[0]));
        CHECK(cd(one) > 0.7 * cd(runner[0]));
    }
}

TEST_CASE("heads: what is missing is said with its remedy") {
    const auto refused = [](std::string text, const std::string& old, const std::string& by) {
        text.replace(text.find(old), old.size(), by);
        const ScratchFolder scratch;
        const auto outcome = run_plenair({"bench", scratch.write("head.toml", text), "--quiet"});
        CHECK(outcome.status == 2);
        return outcome.err;
    };
    const std::string text = HeadRig{.more = "lifts = \"5 mm\""}.text();
    CHECK(has(refused(text, "lifts = \"5 mm\"", "set_ups = [\"valve\"]"),
              "write e.g. lifts = \"2, 4, 6, 8, 10 mm\""));
    CHECK(has(refused(text, "head = \"runner\"", "head = \"intake\""), "there is no [plenum]"));
    CHECK(has(refused(HeadRig{.head = "port", .more = "lifts = \"5 mm\""}.text(),
                      "port_length = \"90 mm\"",
                      "port_length = \"0 mm\""),
              "runner 1 has no port"));
    CHECK(has(refused(text, "lifts =", "direction = \"in\"\nlifts ="),
              "heads are flowed towards the cylinder"));
}

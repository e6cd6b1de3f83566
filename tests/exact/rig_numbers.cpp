#include "solver/laws/orifice.hpp"
#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"

#include <cmath>
#include <numbers>
#include <numeric>
#include <string>

// Rigs in other units, gases and sizes than the usual ones, each against its closed form.

namespace {

using plenair::BenchResult;
using plenair::laws::psi_exact;
using plenair::test::run_rig;

/// Slot alone, Cd as it stands; every entry as written.
BenchResult slot(const std::string& source,
                 const std::string& depression,
                 const std::string& length,
                 const std::string& width,
                 double cd) {
    return run_rig(fmt::format(R"(format = 1
{}
[bench]
set_ups = ["slot"]
depression = "{}"
[slot]
x = "0 mm"
length = "{}"
width = "{}"
cd = {}
[model]
slot_compressibility = "off"
)",
                               source,
                               depression,
                               length,
                               width,
                               cd));
}

double ideal(double area, double pressure, double ratio, double rt, double gamma = 1.4) {
    return area * pressure * psi_exact(ratio, gamma) / std::sqrt(rt);
}

constexpr double inch_of_water = 249.08891;  // conventional, 4 degC
constexpr double inch_of_mercury = 3386.389;  // conventional, 0 degC

}  // namespace

TEST_CASE("slot: choked flow is the closed form and no deeper depression adds to it") {
    // Saint-Venant and Wantzel 1839.
    const std::string air =
        "[source]\npressure = \"101.325 kPa abs\"\ntemperature = \"293.15 K\"\n";
    const double choked = 0.7 * ideal(1.5e-3, 101325, 0.5, 287.05 * 293.15);
    for (const char* depression : {"55 kPa", "60 kPa"}) {
        CHECK(slot(air, depression, "300 mm", "5 mm", 0.7).flow == near(choked, 1e-4));
    }
    CHECK(slot(air, "45 kPa", "300 mm", "5 mm", 0.7).flow ==
          near(0.7 * ideal(1.5e-3, 101325, 1 - 45 / 101.325, 287.05 * 293.15), 1e-4));
}

// Bragg S. L. 1960, J. Mech. Eng. Sci. 2, 35-44: at 0.60 of the pressure what is 0.60 and 0.65
// without compressibility is 0.704 and 0.749, straight between. The solver's polynomial is within
// 0.0025 of the table, and the slot's own coefficient falls by less than 0.0005 with the larger
// flow.
TEST_CASE("slot: its coefficient grows with the pressure drop as Bragg's table has it") {
    const auto flow = [](const std::string& compressibility) {
        return run_rig(R"(format = 1
[source]
pressure = "100 kPa abs"
temperature = "293.15 K"
[bench]
set_ups = ["slot"]
depression = "40 kPa"
[slot]
x = "0 mm"
length = "300 mm"
width = "5 mm"
land = "0.1 mm"
edge_radius = "0 mm"
[model]
slot_compressibility = ")" +
                       compressibility + "\"\n")
            .flow;
    };
    const double none = flow("off") / ideal(1.5e-3, 1e5, 0.6, 287.05 * 293.15);
    REQUIRE(none > 0.59);
    REQUIRE(none < 0.65);
    const double table = 0.704 + (0.749 - 0.704) / 0.05 * (none - 0.60);
    CHECK(flow("on") / flow("off") * none == near(table, 0, 3e-3));
}

TEST_CASE("slot: other gases by their constant and ratio of heats") {
    const std::string heavy =
        "[source]\npressure = \"2 bar abs\"\ntemperature = \"310 K\"\ngas_constant = 188.9\n"
        "gamma = 1.3\n";
    CHECK(slot(heavy, "50 kPa", "200 mm", "2 mm", 0.8).flow ==
          near(0.8 * ideal(4e-4, 2e5, 0.75, 188.9 * 310, 1.3), 1e-6));
    const std::string light =
        "[source]\npressure = \"110 kPa abs\"\ntemperature = \"300 K\"\ngas_constant = 2077\n"
        "gamma = 1.667\n";
    CHECK(slot(light, "60 kPa", "200 mm", "2 mm", 0.8).flow ==
          near(0.8 * ideal(4e-4, 1.1e5, 50.0 / 110, 2077 * 300, 1.667), 1e-6));
}

TEST_CASE("slot: humid air is lighter, as Magnus and Dalton say") {
    // Saturation by Magnus with the constants of Sonntag 1990, Z. Meteorol. 40, 340-344; molar
    // masses 28.9647 and 18.0153 g/mol.
    const double vapour = 0.8 * 611.2 * std::exp(17.62 * 35 / (243.12 + 35));
    const double ratio = 18.0153 / 28.9647 * vapour / (98000 - vapour);
    const double water = ratio / (1 + ratio);
    const double rt = 8.314462618 * ((1 - water) / 28.9647e-3 + water / 18.0153e-3) * 308.15;
    const std::string humid =
        "[source]\npressure = \"98 kPa abs\"\ntemperature = \"35 degC\"\nhumidity = \"80 %\"\n";
    CHECK(slot(humid, "28 inH2O", "200 mm", "4 mm", 0.8).flow ==
          near(0.8 * ideal(8e-4, 98000, 1 - 28 * inch_of_water / 98000, rt), 5e-4));
}

TEST_CASE("slot: inches, degrees Fahrenheit, inches of mercury and gauge pressures") {
    const double area = 15.75 * 0.0254 * 0.15748 * 0.0254;
    const double head = 28 * inch_of_water;
    const double mercury = 29.92 * inch_of_mercury;
    CHECK(slot("[source]\npressure = \"29.92 inHg abs\"\ntemperature = \"68 degF\"\n",
               "28 inH2O",
               "15.75 in",
               "0.15748 in",
               0.75)
              .flow ==
          near(0.75 * ideal(area, mercury, 1 - head / mercury, 287.05 * 293.15), 1e-5));
    const double boosted = 97200 + 1.5 * 6894.757;
    CHECK(slot("[site]\nbarometer = \"97.2 kPa abs\"\n[source]\npressure = \"1.5 psi g\"\n"
               "temperature = \"20 degC\"\n",
               "28 inH2O",
               "400 mm",
               "4 mm",
               0.75)
              .flow ==
          near(0.75 * ideal(1.6e-3, boosted, 1 - head / boosted, 287.05 * 293.15), 1e-5));
}

TEST_CASE("throttle: a small one before a large plenum passes the ideal flow, choked or not") {
    // Saint-Venant and Wantzel 1839; wide runners take the room's pressure into the plenum.
    const auto flow = [](double bore, double cd, double depression) {
        return run_rig(plenair::test::source_text(depression, "all") + fmt::format(R"([throttle]
bore = "{} mm"
shaft = "0 mm"
closed_angle = "0 deg"
cd = {}
cd_area = "open"
position = "side"
x = "150 mm"
[plenum]
length = "300 mm"
area = "60000 mm2"
[runner]
x = "75, 225 mm"
length = "100 mm"
diameter = "60 mm"
entry_loss = 0.05
[model]
friction = "off"
)",
                                                                                   bore,
                                                                                   cd))
            .flow;
    };
    for (const double depression : {20000.0, 56000.0}) {
        CAPTURE(depression);
        const double area = std::acos(-1.0) / 4 * 15e-3 * 15e-3;
        CHECK(flow(15, 0.9, depression) ==
              near(0.9 * ideal(area, 101325, 1 - depression / 101325, 287.05 * 293.15), 2e-3));
    }
}

TEST_CASE("header: a slot that widens along it follows the integrated equations") {
    // du/dX = -Cd w L/A v, p' = -theta u u', v = sqrt(2 p), from the closed end with fourth-order
    // steps (manifold equation of Bajura 1971, J. Eng. Power 93, 7-12, theta 1.08).
    const double area = 2500;
    const double length = 420;
    const double cd = 0.6;
    const double theta = 1.08;
    const auto width = [](double x) { return 3.0 + 3.0 * x; };  // 3 to 6 mm
    const int steps = 2000;
    std::vector<double> flow(steps + 1);
    double u = 0;
    double p = 1;
    const double h = -1.0 / steps;
    const auto slope = [&](double x, double u_, double p_, double& du, double& dp) {
        du = -cd * width(x) * length / area * std::sqrt(2 * p_);
        dp = -theta * u_ * du;
    };
    for (int i = steps; i >= 0; --i) {
        const double x = static_cast<double>(i) / steps;
        flow[static_cast<std::size_t>(i)] = width(x) * std::sqrt(2 * p);
        double du = 0;
        double dp = 0;
        slope(x, u, p, du, dp);
        double du2 = 0;
        double dp2 = 0;
        slope(x + 0.5 * h, u + 0.5 * h * du, p + 0.5 * h * dp, du2, dp2);
        u += h * du2;
        p += h * dp2;
    }
    const double mean = std::accumulate(flow.begin(), flow.end(), 0.0) / (steps + 1);
    const auto result = run_rig(plenair::test::source_text(200, "slot") + R"([pre_chamber]
length = "420 mm"
area = "2500 mm2"
feed = "open"
[slot]
x = "0 mm"
length = "420 mm"
width = { x = "0, 420 mm", value = "3, 6 mm" }
cd = 0.6
[model]
regain = 1.08
friction = "off"
slot_compressibility = "off"
)");
    const auto ours = plenair::test::over_mean(result.flow_per_length);
    CHECK(plenair::test::at_start(ours) == near(flow.front() / mean, 2e-3));
    CHECK(plenair::test::at_end(ours) == near(flow.back() / mean, 2e-3));
}

TEST_CASE("rig: a throttle in the side of a slotted pre-chamber throttles it") {
    // Wide chamber, so slow that only the two restrictions count: areas in series, 1/A^2 adds, of
    // ideal openings at a depression that hardly changes the density (Bernoulli).
    const auto flow = [](const std::string& feed) {
        return plenair::test::run_rig(plenair::test::source_text(600, "slot") +
                                      R"([pre_chamber]
length = "400 mm"
area = "40000 mm2"
)" + feed + R"([slot]
x = "0 mm"
length = "400 mm"
width = "2 mm"
cd = 0.62
[model]
friction = "off"
jet = "off"
slot_compressibility = "off"
)")
            .flow;
    };
    const double open = flow("feed = \"open\"\n");
    const double side = flow(R"([throttle]
bore = "30 mm"
shaft = "8 mm"
position = "side"
x = "200 mm"
feeds = "pre_chamber"
cd = 0.8
cd_area = "open"
)");
    const double slot_area = 0.62 * 800;
    // Open plate: circle less the strip of the shaft, seen along the bore.
    const double half = std::asin(8.0 / 30.0);
    const double open_area = 900.0 / 4 * (std::numbers::pi - 2 * half - std::sin(2 * half));
    const double throttle_area = 0.8 * open_area;
    const double series =
        1 / std::sqrt(1 / (slot_area * slot_area) + 1 / (throttle_area * throttle_area));
    CHECK(side / open == near(series / slot_area, 5e-3));
}

#include "tests/reference/duct_ends.hpp"
#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>

// Headers that draw air in, headers with an outlet, restrictors. Closed forms of constant density:
// along a header with Cd A = m A_header of slot, W^2 = 2 (p_outside - p_header)/rho.

namespace {

using namespace plenair;

constexpr double pi = 3.14159265358979323846;

/// Header 400 mm long of 1963.5 mm2 with a slot over its length.
std::string header(double m, const std::string& bench, const std::string& chamber) {
    return fmt::format(R"(format = 1
[source]
temperature = "293.15 K"
[bench]
set_ups = ["slot"]
depression = "200 Pa"
{}
[pre_chamber]
length = "400 mm"
area = "1963.5 mm2"
{}
[slot]
x = "0 mm"
length = "400 mm"
width = "{:.17g} mm"
cd = 0.62
[model]
regain = 1.0
friction = "off"
jet = "off"
slot_compressibility = "off"
)",
                       bench,
                       chamber,
                       m * 1963.5 / (0.62 * 400));
}

double mean_of(const std::vector<double>& v) {
    return test::mean(v);
}

}  // namespace

TEST_CASE("rig: a header that draws air in through its slot follows the hyperbolic sine") {
    // Air that enters brings no axial momentum: p + rho u^2 is constant, u' = k sqrt(W0^2 + 2 u^2),
    // so u ~ sinh(sqrt 2 k x): the open end draws cosh(sqrt 2 m) times what the closed end does.
    for (const double m : {0.3, 0.6, 1.0}) {
        CAPTURE(m);
        const auto r = test::run_rig(header(m, "direction = \"in\"", "feed = \"open far\""));
        const double z = std::sqrt(2.0) * m;
        const double mean = mean_of(r.flow_per_length);
        CHECK(test::at_start(r.flow_per_length) / mean == near(z / std::sinh(z), 3e-3));
        CHECK(test::at_end(r.flow_per_length) / mean == near(z / std::tanh(z), 3e-3));
        // What leaves loses its head in the room: p_outside - p_room = rho (W0^2/2 + u_out^2).
        const double w0 = std::sqrt(2 * 200 / r.density) / std::cosh(z);
        const double u_out = w0 * std::sinh(z) / std::sqrt(2.0);
        CHECK(r.flow == near(r.density * 1963.5e-6 * u_out, 3e-3));
    }
}

TEST_CASE("rig: runners that draw air in bring their order with them") {
    const auto r = test::run_rig(R"(format = 1
[source]
temperature = "293.15 K"
[bench]
set_ups = ["all"]
direction = "in"
depression = "2 kPa"
[plenum]
length = "400 mm"
area = "1963.5 mm2"
feed = "open"
[runner]
x = "50, 150, 250, 350 mm"
length = "150 mm"
diameter = "20 mm"
exit_loss = 1
[model]
friction = "off"
)");
    REQUIRE(r.flow_per_runner.size() == 4);
    double sum = 0;
    for (const double flow : r.flow_per_runner) {
        CHECK(flow > 0);
        sum += flow;
    }
    CHECK(r.flow == near(sum, 1e-9));
    // Near the way out the header's pressure is lowest.
    for (std::size_t i = 0; i + 1 < 4; ++i) {
        CHECK(r.flow_per_runner[i] > r.flow_per_runner[i + 1]);
    }
}

TEST_CASE("rig: high losses and long narrow headers find their steady state both ways") {
    for (const std::string direction : {"out", "in"}) {
        for (const double length : {480.0, 3000.0}) {
            CAPTURE(direction);
            CAPTURE(length);
            test::RunnerHeader header{.area_ratio = length > 1000 ? 1.0 : 0.25,
                                      .rest_loss = 9,
                                      .pitch = length / 8,
                                      .depression = 1000,
                                      .model = {}};
            std::string text = header.text();
            text.insert(text.find("set_ups"), "direction = \"" + direction + "\"\n");
            CHECK(test::run_rig(text).flow > 0);
        }
    }
}

TEST_CASE("rig: a header with an outlet at its end follows the sine through it") {
    // Bernoulli along the header: u = U sin(phi), phi falling by m from the open end to the outlet,
    // where K rho u^2/2 = p0 - p_room, so sin(phi) = 1/sqrt(K).
    for (const double m : {0.3, 0.7}) {
        for (const double loss : {1.5, 4.0, 50.0}) {
            CAPTURE(m);
            CAPTURE(loss);
            const double out = std::asin(1 / std::sqrt(loss));
            if (out + m > 0.5 * pi) {
                continue;  // the slot would draw air in
            }
            const auto r = test::run_rig(
                header(m, "", fmt::format("feed = \"open\"\noutlet_loss = {}", loss)));
            CHECK(r.outlet_flow / r.flow == near(std::sin(out) / std::sin(out + m), 3e-3));
            CHECK(test::at_start(r.flow_per_length) / mean_of(r.flow_per_length) ==
                  near(m * std::cos(out + m) / (std::sin(out + m) - std::sin(out)), 5e-3));
            const double fastest = std::sqrt(2 * 200 / r.density);
            CHECK(r.flow == near(r.density * 1963.5e-6 * fastest * std::sin(out + m), 3e-3));
        }
    }
}

TEST_CASE("rig: a restrictor chokes at its throat and its diffuser gives pressure back") {
    // Large plenum, in which the air is nearly at rest in cells of any size, behind a 20 mm throat;
    // one runner with loss K into the room. Throat: m = Cd A p0/sqrt(R T) psi(p_t/p0), p_plenum =
    // p_t + c (p0 - p_t) (docs/theory.md).
    const auto rig = [](double recovery, double depression) {
        return test::run_rig(fmt::format(R"(format = 1
[source]
pressure = "101.325 kPa abs"
temperature = "293.15 K"
gas_constant = 287.05
gamma = 1.4
[bench]
set_ups = ["all"]
depression = "{:.17g} Pa"
[throttle]
bore = "20 mm"
shaft = "0 mm"
closed_angle = "0 deg"
cd = 0.98
cd_area = "bore"
recovery = {}
[plenum]
length = "400 mm"
area = "60000 mm2"
[runner]
x = "200 mm"
length = "100 mm"
diameter = "40 mm"
entry_loss = 0
exit_loss = 2
[model]
cells = "largest cell 40 mm"
friction = "off"
)",
                                         depression,
                                         recovery));
    };
    const reference::Gas gas;
    constexpr double p0 = 101325;
    constexpr double rt = 287.05 * 293.15;
    const double throat = 0.98 * 0.25 * pi * 4e-4;
    // Without a diffuser a jet regains pressure in the plenum: tests/exact/rig_jet.cpp.
    for (const double recovery : {0.3, 0.5, 0.8}) {
        CAPTURE(recovery);
        for (const double depression : {1000.0, 6000.0, 12000.0, 40000.0}) {
            CAPTURE(depression);
            const auto through = [&](double plenum) {
                const double at_throat = (plenum - recovery * p0) / (1 - recovery);
                return reference::orifice(gas, throat, p0, rt, at_throat);
            };
            const double runner = 0.25 * pi * 16e-4 / std::sqrt(2.0);
            const auto out = [&](double plenum) {
                return reference::orifice(gas, runner, plenum, rt, p0 - depression);
            };
            const double plenum = reference::bisect(
                [&](double p) { return through(p) - out(p); }, p0 - depression, p0);
            CHECK(rig(recovery, depression).flow == near(through(plenum), 5e-4));
        }
    }
    // Choked: the same at every depression, 0.0404147 p0 A/sqrt(T0) in SI for air.
    const double choked = 0.0404147 * p0 * throat / std::sqrt(293.15) * std::sqrt(287.053 / 287.05);
    CHECK(rig(0.8, 40000).flow == near(choked, 2e-5));
    CHECK(rig(0.8, 50000).flow == near(choked, 2e-5));
    // With the diffuser it chokes at a depression at which without one it is far from it.
    CHECK(rig(0.8, 15000).flow > 0.995 * choked);
    CHECK(rig(0.0, 15000).flow < 0.85 * choked);
}

TEST_CASE("rig: outlets, directions and restrictors that cannot be are refused by name") {
    const auto refused = [](const std::string& text) {
        const ScratchFolder scratch;
        const auto outcome = run_plenair({"bench", scratch.write("rig.toml", text), "--quiet"});
        CHECK(outcome.status == 2);
        return outcome.err;
    };
    CHECK(has(refused(header(0.5, "direction = \"in\"", "feed = \"open\"\noutlet_loss = 2")),
              "leave outlet_loss out"));
    const std::string fed = R"([throttle]
bore = "20 mm"
shaft = "0 mm"
position = "start"
)";
    CHECK(has(refused(header(0.5, "direction = \"in\"", "") + fed), "the air has no way out"));
    CHECK(has(refused(header(0.5, "", "") +
                      "[throttle]\nbore = \"45 mm\"\nshaft = \"0 mm\"\nrecovery = 0.5\n"),
              "more than an ideal diffuser from the bore to the pre_chamber gives"));
}

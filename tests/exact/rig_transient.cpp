#include <doctest/doctest.h>

#include "cases/file/read.hpp"
#include "cases/file/reading.hpp"
#include "cases/study/bench.hpp"
#include "tests/support/near.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

// Rigs in time, through the case file: vessels and a pipe that starts.
using namespace plenair;

namespace {

TransientResult follow(const std::string& text) {
    auto study = transient(file::transient_of(file::read_once(text, "rig.toml", {})));
    REQUIRE_MESSAGE(study.rig.finished, study.rig.failure);
    // Books close to rounding whatever happens inside.
    CHECK(study.rig.mass_balance < 1e-12);
    CHECK(study.rig.energy_balance < 1e-12);
    return study.rig;
}

const std::vector<double>& values(const TransientResult& rig, const std::string& name) {
    const auto found = std::find_if(
        rig.series.begin(), rig.series.end(), [&](const Series& s) { return s.name == name; });
    REQUIRE(found != rig.series.end());
    return found->value;
}

const std::string air = R"(format = 1
[model]
friction = "off"
wall_heat = "off"
jet = "off"
[source]
gas_constant = 287.05
gamma = 1.4
temperature = "300 K"
)";

}  // namespace

// Choked adiabatic blowdown, p/p_i = (1 + (g-1)/2 k t)^(-2g/(g-1)), k = psi* A sqrt(R T_i)/V
// (Shapiro 1953, from memory): 3 L, 5 mm, 6 bar, 300 K.
TEST_CASE("transient: a choked vessel blows down as the closed form has it") {
    const auto rig = follow(air + R"(pressure = "101.325 kPa abs"
[plenum]
length = "500 mm"
area = "6000 mm2"
[runner]
x = "250 mm"
length = "20 mm"
diameter = "5 mm"
entry_loss = 0
[transient]
duration = "300 ms"
samples = 3
start_pressure = "600 kPa abs"
)");
    const auto& p = values(rig, "plenum pressure");
    CHECK(p[1] == near(500292.0, 5e-4));
    CHECK(p[2] == near(419076.0, 5e-4));
    CHECK(p[3] == near(352583.0, 5e-4));
}

// Energy of filling a rigid adiabatic vessel from a line at T0 = T_i, T_f = g T0/(1 + (g - 1)
// p_i/p_f): 350 K from half the pressure (Moran and Shapiro 2006, ch. 4, from memory).
TEST_CASE("transient: filling from a line heats the gas by the ratio of pressures") {
    const auto rig = follow(air + R"(pressure = "100 kPa abs"
[throttle]
bore = "15 mm"
shaft = "0 mm"
closed_angle = "0 deg"
cd = 1
cd_area = "open"
[plenum]
length = "500 mm"
area = "6000 mm2"
[transient]
duration = "2 s"
samples = 4
start_pressure = "50 kPa abs"
)");
    CHECK(values(rig, "plenum pressure").back() == near(1e5, 1e-4));
    CHECK(values(rig, "plenum temperature").back() == near(350.0, 5e-4));
}

// Two equal rigid vessels without heat: energy says that both end at the mean pressure; what stays
// in the first has expanded as an isentrope (Moran and Shapiro 2006, ch. 6, from memory).
TEST_CASE("transient: two vessels come to one pressure and to temperatures of their own") {
    const auto rig = follow(air + R"(pressure = "100 kPa abs"
[pre_chamber]
length = "400 mm"
area = "4000 mm2"
[slot]
x = "0 mm"
length = "400 mm"
width = "0.5 mm"
cd = 0.62
[plenum]
length = "400 mm"
area = "4000 mm2"
[transient]
duration = "1 s"
samples = 5
start_pressure = "200 kPa abs"
plenum_pressure = "100 kPa abs"
)");
    CHECK(values(rig, "pre-chamber pressure").back() == near(150e3, 1e-5));
    CHECK(values(rig, "plenum pressure").back() == near(150e3, 1e-5));
    const double donor = 300.0 * std::pow(0.75, 0.4 / 1.4);
    CHECK(values(rig, "pre-chamber temperature").back() == near(donor, 2e-3));
    // Mass: the rest stands in the plenum.
    const double receiver = 1.5 / (1.0 / 300.0 + 2.0 / 300.0 - 1.5 / donor);
    CHECK(values(rig, "plenum temperature").back() == near(receiver, 2e-3));
}

// A pipe that starts from rest, u = U tanh(t/tau), U = sqrt(2 dp/(rho K)), tau = 2 L/(K U), with K
// of all its heads (Massey 1989, ch. 12, from memory); so slow that waves do not count.
TEST_CASE("transient: flow through a pipe starts as the hyperbolic tangent") {
    const double dp = 10.0, density = 1.2, loss = 1.5, length = 0.4;
    const double last = std::sqrt(2.0 * dp / (density * loss));
    const double tau = 2.0 * length / (loss * last);
    const auto rig = follow(air + fmt::format(R"(pressure = "{} Pa abs"
[plenum]
length = "{} mm"
area = "2000 mm2"
feed = "open"
outlet_loss = {}
[transient]
duration = "{} ms"
samples = 8
room_pressure = {{ time = "0 ms", pressure = "{} Pa abs" }}
)",
                                              density * 287.05 * 300.0,
                                              length * 1e3,
                                              loss,
                                              2.0 * tau * 1e3,
                                              density * 287.05 * 300.0 - dp));
    const auto& flow = values(rig, "outlet flow");
    for (std::size_t i = 1; i < flow.size(); ++i) {
        const double expected = last * std::tanh(rig.time[i] / tau);
        CAPTURE(i);
        CHECK(flow[i] / (density * 2e-3) == near(expected, 0.0, 0.01 * last));
    }
}

// A throttle that opens: at each angle the flow settles where Newton's method finds the steady
// state (Kelley and Keyes 1998, SIAM J. Numer. Anal. 35, 508-523).
TEST_CASE("transient: a throttle that opens comes to the flow that it has steady") {
    const std::string parts = R"(pressure = "101.325 kPa abs"
[throttle]
bore = "40 mm"
shaft = "6 mm"
cd = 0.85
cd_area = "open"
[plenum]
length = "300 mm"
area = "6000 mm2"
[runner]
x = "150 mm"
length = "100 mm"
diameter = "30 mm"
exit_loss = 2
[bench]
depression = "5 kPa"
set_ups = ["all"]
)";
    const auto rig = follow(air + parts + R"([transient]
duration = "600 ms"
samples = 2
start = "steady"
throttle_angle = { time = "0, 100, 120 ms", angle = "20, 20, 60 deg" }
)");
    for (const auto& [angle, place] : {std::pair{20, 0}, {60, 2}}) {
        const auto c = parse_case(
            air + parts + fmt::format("throttle_angle = \"{} deg\"\n", angle), "rig.toml", {});
        const auto steady = bench(c);
        REQUIRE(steady.converged());
        CHECK(values(rig, "runner 1 flow")[static_cast<std::size_t>(place)] ==
              near(steady.set_ups.front().flow, 1e-4));
    }
}

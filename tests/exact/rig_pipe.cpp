#include "solver/laws/orifice.hpp"
#include "tests/reference/fanno.hpp"
#include "tests/reference/friction_formulas.hpp"
#include "tests/reference/isentropic.hpp"
#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"

#include <cmath>
#include <functional>
#include <string>
#include <utility>

// One runner alone on the bench, from still air through an entry loss, wall friction and what
// follows, into the room. Adiabatic flow with constant friction factor and with loss coefficients
// on the runner's own velocity head (Shapiro 1953, ch. 6); the opening at its end by Saint-Venant
// and Wantzel 1839.

namespace {

using namespace plenair;

constexpr double gamma_air = 1.4;
constexpr double gas_constant = 287.05;

struct PipeRig {
    double length = 300, bore = 45;  // [mm]
    double darcy = 0.018;
    double entry_loss = 0, exit_loss = 1, bend_loss = 0;
    double pressure = 101325, temperature = 293.15;  // of the source
    double depression = 1000;
    std::string friction = "";  ///< instead of the Darcy factor
    double bell_radius = 0;  ///< instead of the entry loss where above 0 [mm]

    [[nodiscard]] double area() const { return std::acos(-1.0) / 4 * bore * bore * 1e-6; }

    [[nodiscard]] double computed() const {
        return test::run_rig(
                   fmt::format(R"(format = 1
[source]
pressure = "{:.17g} Pa abs"
temperature = "{:.17g} K"
[bench]
set_ups = ["runners"]
depression = "{:.17g} Pa"
[plenum]
length = "400 mm"
area = "90000 mm2"
feed = "open"
[runner]
x = "200 mm"
length = "{} mm"
diameter = "{} mm"
{}
exit_loss = {}
bend_loss = {}
[model]
friction = "{}"
)",
                               pressure,
                               temperature,
                               depression,
                               length,
                               bore,
                               bell_radius > 0 ? fmt::format("bell_radius = \"{} mm\"", bell_radius)
                                               : fmt::format("entry_loss = {}", entry_loss),
                               exit_loss,
                               bend_loss,
                               friction.empty() ? fmt::format("darcy {}", darcy) : friction))
            .flow;
    }

    /// Mass flow at a Mach number and total pressure [kg/s].
    [[nodiscard]] double flow(double mach, double total) const {
        return area() * total * mach * std::sqrt(gamma_air / (gas_constant * temperature)) *
               std::pow(1 + 0.2 * mach * mach, -3.0);
    }

    /// By halving of the Mach number behind the entry until the opening passes what the pipe does.
    [[nodiscard]] double expected() const {
        const double resistance = darcy * length / bore + bend_loss;
        const auto total_in = [&](double mach) {
            const double head = 0.7 * mach * mach * std::pow(1 + 0.2 * mach * mach, -3.5);
            return pressure / (1 + entry_loss * head);
        };
        const auto too_much = [&](double mach) {
            const double left = reference::fanno_length(mach, gamma_air) - resistance;
            if (left <= 0) {
                return true;  // more than the pipe passes when it chokes
            }
            const double out = reference::fanno_mach(left, gamma_air);
            const double total = total_in(mach) *
                                 reference::fanno_stagnation_pressure(out, gamma_air) /
                                 reference::fanno_stagnation_pressure(mach, gamma_air);
            const double opening = area() / std::sqrt(exit_loss) * total /
                                   std::sqrt(gas_constant * temperature) *
                                   laws::psi_exact((pressure - depression) / total, gamma_air);
            return flow(mach, total_in(mach)) > opening;
        };
        double low = 1e-4;
        double high = 1.0;
        for (int i = 0; i < 60; ++i) {
            const double middle = 0.5 * (low + high);
            (too_much(middle) ? high : low) = middle;
        }
        return flow(low, total_in(low));
    }
};

}  // namespace

TEST_CASE("runner alone: flow with friction is Fanno's at every depression") {
    for (const double depression : {1000.0, 7000.0, 20000.0, 40000.0}) {
        CAPTURE(depression);
        const PipeRig rig{.length = 900, .bore = 30, .darcy = 0.025, .depression = depression};
        CHECK(rig.computed() == near(rig.expected(), 2e-3));
    }
    const PipeRig boosted{.length = 900,
                          .bore = 30,
                          .darcy = 0.025,
                          .pressure = 250000,
                          .temperature = 340,
                          .depression = 50000};
    CHECK(boosted.computed() == near(boosted.expected(), 2e-3));
}

TEST_CASE("runner alone: losses at entry, bend and exit act on the runner's own head") {
    for (const double depression : {1000.0, 7000.0, 30000.0}) {
        CAPTURE(depression);
        const PipeRig entry{.entry_loss = 0.3, .depression = depression};
        CHECK(entry.computed() == near(entry.expected(), 3e-3));
        const PipeRig bend{.bend_loss = 0.4, .depression = depression};
        CHECK(bend.computed() == near(bend.expected(), 3e-3));
        const PipeRig rest{.exit_loss = 4, .depression = depression};
        CHECK(rest.computed() == near(rest.expected(), 1e-3));
    }
}

// Idelchik I. E. 1986, Diagram 3-1: inlet flush in the wall, rounded by 0.02, 0.06 and 0.12 of its
// bore.
TEST_CASE("runner alone: a rounded mouth has Idelchik's loss") {
    for (const auto& [radius, loss] :
         {std::pair(0.02, 0.37), std::pair(0.06, 0.20), std::pair(0.12, 0.09)}) {
        const double share = radius;
        CAPTURE(share);
        PipeRig rig{.length = 150, .bore = 40, .darcy = 0.01, .entry_loss = loss};
        const double expected = rig.expected();
        rig.bell_radius = radius * rig.bore;
        CHECK(rig.computed() == near(expected, 3e-3));
    }
}

// The factor of the walls at the runner's own Reynolds number by Churchill S. W. 1977, Chem. Eng.
// 84, 91, within 2 % of Colebrook's there; half the drop is friction, so that 0.6 % of the flow
// is 2.4 % of the factor.
TEST_CASE("runner alone: smooth and rough walls have the published friction factor") {
    constexpr double viscosity = 1.8134e-5;  // of air at 20 degC [Pa s]
    for (const double micrometres : {0.0, 20.0}) {
        CAPTURE(micrometres);
        PipeRig rig{.length = 1200, .bore = 30, .depression = 4000};
        rig.friction = micrometres > 0 ? fmt::format("{} um", micrometres) : std::string("smooth");
        const double flow = rig.computed();
        const double reynolds = 1e-3 * rig.bore * flow / (rig.area() * viscosity);
        rig.darcy = reference::churchill(reynolds, 1e-3 * micrometres / rig.bore);
        CAPTURE(reynolds);
        CHECK(flow == near(rig.expected(), 6e-3));
    }
}

TEST_CASE(
    "runner alone: choked flow does not depend on the depression and equals the closed form") {
    for (const double exit_loss : {1.0, 1.2, 2.0, 4.0}) {
        CAPTURE(exit_loss);
        PipeRig rig{.bore = 30, .darcy = 0.02, .exit_loss = exit_loss, .depression = 56000};
        const double choked = rig.computed();
        // Where the pipe itself chokes, its last cell of a Mach number that runs to 1 with infinite
        // slope.
        CHECK(choked == near(rig.expected(), exit_loss > 1 ? 1e-4 : 5e-3));
        rig.depression = 58000;
        CHECK(rig.computed() == near(choked, exit_loss > 1 ? 1e-5 : 1e-3));
    }
}

TEST_CASE(
    "rig: a runner that blows against a higher pressure passes less, backwards above the source") {
    const auto flows = [](double other) {
        return test::run_rig(test::source_text(2000, "all") + fmt::format(R"([plenum]
length = "300 mm"
area = "6000 mm2"
feed = "open"
[runner]
x = "75, 225 mm"
length = "150 mm"
diameter = "30 mm"
entry_loss = 0.1
exit_loss = 2
exit_pressure = "99.325, {} kPa abs"
)",
                                                                          other))
            .flow_per_runner;
    };
    const auto alike = flows(99.325);
    const auto less = flows(100.325);
    const auto back = flows(102.325);
    CHECK(less[1] < alike[1]);
    CHECK(less[1] > 0);
    CHECK(back[1] < 0);
}

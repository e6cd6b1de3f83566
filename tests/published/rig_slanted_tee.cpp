#include "tests/reference/tee_losses.hpp"
#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"

#include <cmath>
#include <numbers>
#include <string>

// A branch at other than a right angle on a header with an outlet, against Gardel's dividing losses
// (Gardel 1957, in the form of Miller 1990) put together by hand: what flows through branch and run
// loses the same total pressure on its way into the room,
//     K_branch(q) + K_e (q/a)^2 = K_run(q) + K_o (1 - q)^2 = dp/(rho V^2/2).

namespace {

constexpr double header = 2000e-6;  // [m2]
constexpr double bore = 30e-3;
constexpr double exit_loss = 3.0;
constexpr double outlet_loss = 6.0;
constexpr double depression = 500.0;
constexpr double pi = std::numbers::pi;

std::string tee(double angle) {
    return fmt::format(R"(format = 1
[source]
pressure = "101.325 kPa abs"
temperature = "293.15 K"
[bench]
set_ups = ["all"]
depression = "{} Pa"
[plenum]
length = "400 mm"
area = "2000 mm2"
feed = "open"
outlet_loss = {}
[runner]
x = "200 mm"
length = "150 mm"
diameter = "30 mm"
angle = "{} deg"
entry_loss = 0.5
exit_loss = {}
[model]
mouth_law = "tee"
friction = "off"
)",
                       depression,
                       outlet_loss,
                       angle,
                       exit_loss);
}

}  // namespace

TEST_CASE("tee: a slanted branch shares the flow as Gardel's losses do") {
    const double a = pi / 4 * bore * bore / header;
    for (const double angle : {45.0, 60.0, 90.0, 120.0}) {
        CAPTURE(angle);
        const plenair::reference::GardelDividing law(a, 0.0, angle * pi / 180);
        const auto of_branch = [&](double q) {
            return law.branch(q) + exit_loss * (q / a) * (q / a);
        };
        const auto of_run = [&](double q) {
            return plenair::reference::GardelDividing::run(q) + outlet_loss * (1 - q) * (1 - q);
        };
        double low = 0, high = 1;
        for (int i = 0; i < 60; ++i) {
            const double q = 0.5 * (low + high);
            (of_branch(q) < of_run(q) ? low : high) = q;
        }
        const double density = 101325.0 / (287.0 * 293.15);
        const double speed = std::sqrt(2 * depression / (density * of_run(low)));
        const auto result = plenair::test::run_rig(tee(angle));
        CHECK(result.flow_per_runner.front() / result.flow == near(low, 0.01));
        CHECK(result.flow == near(density * speed * header, 0.01));
    }
}

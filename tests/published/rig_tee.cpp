#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"

#include <cmath>
#include <string>

// Dividing tee in the published tests of a general-purpose finite-element program (Dhondt 2004,
// loss coefficients of Idelchik 1986): main 2000 mm2, branch 500 mm2 at 90 degrees, total pressure
// 2.897414 bar ahead of the tee, 550 K. Behind the run an opening of 314 mm2 into 2.8 bar, behind
// the branch the same into 2.0 bar. Printed: run 0.0568977 kg/s, branch 0.1295574 kg/s, total
// pressure 2.892769 bar in the run and 2.688269 bar in the branch, hence q = 0.6948, K_b = 8.834
// and K_run = 0.196 on the approaching velocity head.

namespace {

// The case file ends at 450 K: at equal pressures the flow goes with 1/sqrt(T).
constexpr double colder = 450.0;
constexpr double printed = 550.0;

std::string tee(double entry_loss, double regain) {
    return fmt::format(R"(format = 1
[source]
pressure = "2.897414 bar abs"
temperature = "{} K"
gas_constant = 287
gamma = 1.4012
[bench]
set_ups = ["all"]
depression = "9741.4 Pa"
[plenum]
length = "400 mm"
area = "2000 mm2"
feed = "open"
[runner]
x = "200, 380 mm"
length = "60 mm"
diameter = "25.23133, 19.99493 mm"
entry_loss = [{}, 0.0]
exit_loss = [2.535600, 1.0]
exit_pressure = "200, 280 kPa abs"
[model]
regain = {}
crossflow_loss = 1.0
friction = "off"
)",
                       colder,
                       entry_loss,
                       regain);
}

}  // namespace

TEST_CASE("tee: branch and run into rooms of two pressures share as printed") {
    // The printed loss on the branch's own velocity head: (20915 - 2367) Pa over 20630 Pa at Mach
    // 0.345. The run is a nozzle that takes in what is left, so its K_run of 0.196 less the head of
    // the run that the nozzle's entry loses, (1 - q)^2 = 0.093, stands in 1 - theta.
    const double q = 0.6948;
    const double regain = 1 - (0.1962 - (1 - q) * (1 - q)) / (1 - (1 - q) * (1 - q));
    const auto result = plenair::test::run_rig(tee(0.899, regain));
    const double scale = std::sqrt(colder / printed);
    REQUIRE(result.flow_per_runner.size() == 2);
    CHECK(scale * result.flow_per_runner[0] == near(0.1295574, 0.01));
    CHECK(scale * result.flow_per_runner[1] == near(0.0568977, 0.01));
    CHECK(scale * result.flow == near(0.1864551, 0.01));
}

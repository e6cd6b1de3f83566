#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"

#include <cmath>
#include <string>
#include <vector>

using plenair::test::over_mean;
using plenair::test::run_rig;
using plenair::test::RunnerHeader;
using plenair::test::spread;

// Runners on a straight header, all discharging to the same pressure. Station by station from the
// inlet, with q the runner's share of the approaching flow and a its area over the header's:
//   p + u^2/2 - K_b u^2/2 - K_rest w^2/2 = 0,  u' = u - a w,  p' = p + (u^2 - u'^2)/2 - K_run u^2/2
// "lateral": K_b = 0.90 + 0.40 (q/a)^2, long laterals of Hudson H. E., Uhler R. B., Bailey R. W.
// 1979, J. Environ. Eng. Div. ASCE 105, 745-755; K_run = (1 - theta)(1 - (1-q)^2).
// "tee": both coefficients of Gardel A. 1957, Bull. Tech. Suisse Romande 83, 123-130 and 143-148,
// sharp corner, 90 degrees. The rows are these equations solved without density change; the rig
// stands on the certified grid at 1 kPa.

namespace {

std::vector<double> flows(int runners, const std::string& law, double theta) {
    RunnerHeader header;
    header.runners = runners;
    header.depression = 1000;
    header.model.mouth_law = law;
    header.model.regain = theta;
    return over_mean(run_rig(header.text()).flow_per_runner);
}

void check_row(const std::vector<double>& flow, const std::vector<double>& row, double tolerance) {
    REQUIRE(flow.size() == row.size());
    for (std::size_t i = 0; i < flow.size(); ++i) {
        CAPTURE(i + 1);
        CHECK(flow[i] == near(row[i], tolerance));
    }
}

}  // namespace

TEST_CASE("eight runners: Hudson's laterals give the published equations' shares") {
    check_row(
        flows(8, "lateral", 1.05), {0.736, 0.833, 0.921, 0.998, 1.064, 1.116, 1.154, 1.178}, 5e-3);
}

TEST_CASE("six runners: Hudson's laterals give the published equations' shares") {
    check_row(flows(6, "lateral", 1.05), {0.859, 0.931, 0.992, 1.041, 1.077, 1.099}, 5e-3);
}

TEST_CASE("four runners: Hudson's laterals give the published equations' shares") {
    check_row(flows(4, "lateral", 1.05), {0.943, 0.989, 1.023, 1.044}, 5e-3);
}

TEST_CASE("eight runners: Gardel's tee gives the published equations' shares") {
    check_row(flows(8, "tee", 1.0), {0.750, 0.839, 0.922, 0.996, 1.060, 1.112, 1.149, 1.172}, 5e-3);
}

TEST_CASE("six runners: Gardel's tee gives the published equations' shares") {
    check_row(flows(6, "tee", 1.0), {0.863, 0.932, 0.992, 1.041, 1.076, 1.096}, 5e-3);
}

TEST_CASE("four runners: Gardel's tee gives the published equations' shares") {
    check_row(flows(4, "tee", 1.0), {0.944, 0.990, 1.023, 1.043}, 5e-3);
}

TEST_CASE("eight runners: the spread follows the regain factor") {
    CHECK(100 * spread(flows(8, "lateral", 1.0)) == near(41.8, 0, 0.5));
    CHECK(100 * spread(flows(8, "lateral", 1.3)) == near(56.2, 0, 0.5));
}

TEST_CASE("eight runners: Hudson, Gardel and Idelchik agree within two per cent of flow") {
    // Third row: Idelchik I. E. 2006, Handbook of Hydraulic Resistance, Diagrams 7-16 to 7-20, in
    // the same equations.
    const auto lateral = flows(8, "lateral", 1.05);
    check_row(flows(8, "tee", 1.0), lateral, 0.02);
    check_row(lateral, {0.736, 0.834, 0.922, 1.000, 1.066, 1.121, 1.153, 1.169}, 0.02);
}

TEST_CASE("runners: headers of equal theta a^2/K share their air alike") {
    // Kubo T., Ueda T. 1969, Bull. JSME 12(52), 802-809: one number decides the distribution. The
    // mouth is driven by static pressure here: cross-flow loss 1, no entry loss.
    RunnerHeader narrow;
    narrow.depression = 1000;
    narrow.entry_loss = 0;
    narrow.model.crossflow_loss = 1;
    RunnerHeader wide = narrow;
    wide.area_ratio = 0.5;
    wide.rest_loss = 16;
    check_row(over_mean(run_rig(wide.text()).flow_per_runner),
              over_mean(run_rig(narrow.text()).flow_per_runner),
              0.01);
}

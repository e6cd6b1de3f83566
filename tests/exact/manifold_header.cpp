#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"

#include <cmath>
#include <fstream>
#include <sstream>

using plenair::BenchResult;
using plenair::test::at_end;
using plenair::test::at_start;
using plenair::test::over_mean;
using plenair::test::run_rig;
using plenair::test::SlotHeader;

// Closed form of a straight header without friction that discharges through a slot of constant
// coefficient: Acrivos A., Babcock B. D., Pigford R. L. 1959, Chem. Eng. Sci. 10, 112-124 (also
// Bajura R. A. 1971, J. Eng. Power 93, 7-12). With m = sqrt(theta) Cd As/A the velocity along the
// header is sin(m(1 - X))/sin m, so the flow per length over its mean is m cos(m(1 - X))/sin m.

namespace {

/// Mean of the closed form over cell i of n.
double exact_cell(double m, std::size_t i, std::size_t n) {
    const double from = static_cast<double>(i) / static_cast<double>(n);
    const double to = static_cast<double>(i + 1) / static_cast<double>(n);
    return (std::sin(m * (1 - from)) - std::sin(m * (1 - to))) / (std::sin(m) * (to - from));
}

/// Largest deviation of any cell from the closed form, in mean flows.
double worst_cell(const SlotHeader& header, const BenchResult& result) {
    const double m = std::sqrt(header.model.regain) * header.area_ratio();
    const auto flow = over_mean(result.flow_per_length);
    double worst = 0;
    for (std::size_t i = 0; i < flow.size(); ++i) {
        worst = std::max(worst, std::abs(flow[i] - exact_cell(m, i, flow.size())));
    }
    return worst;
}

struct Row {
    double width, inlet, closed, spread;  // [mm], over mean, over mean, [%]
};

void check_rows(double theta, const std::vector<Row>& rows) {
    for (const Row& row : rows) {
        CAPTURE(row.width);
        SlotHeader header;
        header.width = row.width;
        header.model.regain = theta;
        const auto result = run_rig(header.text());
        REQUIRE(result.x.size() == 100);
        CHECK(worst_cell(header, result) < 1e-3);
        const auto flow = over_mean(result.flow_per_length);
        if (row.inlet > 0) {
            CHECK(at_start(flow) == near(row.inlet, 1e-3));
            CHECK(at_end(flow) == near(row.closed, 1e-3));
        }
        CHECK(100 * (at_end(flow) - at_start(flow)) == near(row.spread, 0, 0.1));
    }
}

}  // namespace

TEST_CASE("header: flow along a slot equals the sine and cosine closed form") {
    // 50 mm bore, slot 400 mm long, Cd 0.62, theta 1; closed form evaluated.
    check_rows(1.0,
               {{2, 0.9786, 1.0107, 3.21}, {4, 0.9134, 1.0438, 13.04}, {8, 0.6340, 1.1929, 55.9}});
}

TEST_CASE("header: regain factor 1.05 widens the spread as the closed form says") {
    check_rows(1.05, {{2, 0, 0, 3.37}, {4, 0, 0, 13.71}, {8, 0, 0, 59.0}});
}

TEST_CASE("header: regain factor 1.3 widens the spread as the closed form says") {
    check_rows(1.3, {{2, 0, 0, 4.18}, {4, 0, 0, 17.07}, {8, 0, 0, 74.8}});
}

TEST_CASE("header: the error falls at least with the square of the cell") {
    double last = 0;
    for (const double cells : {10.0, 20.0, 40.0}) {
        SlotHeader header;
        header.depression = 1;  // at 5 Pa the change of density is as large as the last error
        header.model.largest_cell = header.length / cells;
        const auto result = run_rig(header.text());
        REQUIRE(result.x.size() == static_cast<std::size_t>(cells));
        const double error = worst_cell(header, result);
        if (last > 0) {
            CHECK(last / error > 4.0);
        }
        last = error;
    }
}

TEST_CASE("header: the shipped header rig gives the closed form from its file") {
    std::ifstream file(PLENAIR_SOURCE_DIR "/cases/shipped/header-rig/case.toml");
    std::ostringstream text;
    text << file.rdbuf();
    const auto flow = over_mean(run_rig(text.str()).flow_per_length);
    CHECK(at_start(flow) == near(0.9134, 1e-3));
    CHECK(100 * (at_end(flow) - at_start(flow)) == near(13.04, 0, 0.1));
}

TEST_CASE("header: a slot too wide for its header draws nothing near the inlet and does not fail") {
    // m > pi/2: the closed form has no full-length outflow (Acrivos, Babcock, Pigford 1959).
    for (const double m : {1.7, 2.0, 3.0}) {
        CAPTURE(m);
        SlotHeader header;
        header.depression = 200;
        header.width = m * header.area / (header.cd * header.length);
        const auto flow = over_mean(run_rig(header.text()).flow_per_length);
        CHECK(flow.front() < 1e-3);
        CHECK(flow.back() > 1.5);
    }
}

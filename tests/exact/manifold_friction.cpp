#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"

#include <algorithm>
#include <cmath>

using plenair::test::at_end;
using plenair::test::at_start;
using plenair::test::over_mean;
using plenair::test::run_rig;
using plenair::test::SlotHeader;

TEST_CASE("header: friction evens the slot out as the momentum equation says") {
    // dp = -theta rho u du - f/(2 D) rho u^2 dx integrated with v = Cd sqrt(2 p/rho), the manifold
    // equation of Bajura 1971, J. Eng. Power 93, 7-12; flow per length over mean at both ends.
    struct Row {
        double area_ratio, theta, friction, inlet, closed;
    };
    const Row rows[] = {{0.25, 1.0, 0.0, 0.9791, 1.0105},
                        {0.25, 1.0, 0.1, 0.9799, 1.0102},
                        {0.25, 1.0, 0.3, 0.9815, 1.0097},
                        {0.50, 1.0, 0.0, 0.9152, 1.0429},
                        {0.50, 1.0, 0.1, 0.9186, 1.0418},
                        {0.50, 1.0, 0.3, 0.9254, 1.0395},
                        {0.50, 1.05, 0.0, 0.9109, 1.0451},
                        {0.50, 1.05, 0.1, 0.9143, 1.0440},
                        {0.50, 1.05, 0.3, 0.9211, 1.0417},
                        {0.75, 1.05, 0.0, 0.7949, 1.1057},
                        {0.75, 1.05, 0.1, 0.8036, 1.1027},
                        {0.75, 1.05, 0.3, 0.8205, 1.0970},
                        {1.00, 1.0, 0.0, 0.6421, 1.1884},
                        {1.00, 1.0, 0.1, 0.6603, 1.1822},
                        {1.00, 1.0, 0.3, 0.6950, 1.1703}};
    for (const Row& row : rows) {
        CAPTURE(row.area_ratio);
        CAPTURE(row.theta);
        CAPTURE(row.friction);
        SlotHeader header;
        header.depression = 100;
        header.width = row.area_ratio * header.area / (header.cd * header.length);
        header.model.regain = row.theta;
        header.model.darcy = header.darcy_for(row.friction);
        const auto flow = over_mean(run_rig(header.text()).flow_per_length);
        CHECK(at_start(flow) == near(row.inlet, 1e-3));
        CHECK(at_end(flow) == near(row.closed, 1e-3));
    }
}

namespace {

/// Flow per length over mean of a nearly even header: Cd As/A = 0.2, theta 1.05.
std::vector<double> even_header(double friction_over_theta) {
    SlotHeader header;
    header.depression = 100;
    header.model.regain = 1.05;
    header.width = 0.2 * header.area / (header.cd * header.length);
    header.model.darcy = header.darcy_for(friction_over_theta * header.model.regain);
    return over_mean(run_rig(header.text()).flow_per_length);
}

}  // namespace

TEST_CASE("header: regain and friction balance at fL/D of three regain factors") {
    // Chou H.-T., Cheng R.-Y. 2001, Proc. Natl. Sci. Counc. ROC(A) 25(2), 94-101: most even at
    // D = 0.353 f L/theta; by the integral of the momentum equation first = last at fL/D = 3 theta.
    double best = 1;
    double best_at = 0;
    for (const double friction : {0.0, 1.0, 2.0, 2.5, 2.8, 3.0, 3.1, 3.3, 3.6, 4.0, 6.0}) {
        CAPTURE(friction);
        const auto flow = even_header(friction);
        const double width = plenair::test::spread(flow);
        if (width < best) {
            best = width;
            best_at = friction;
        }
        if (friction <= 2.8) {
            CHECK(at_start(flow) < at_end(flow));
        }
        if (friction >= 3.3) {
            CHECK(at_start(flow) > at_end(flow));
        }
    }
    CHECK(best_at >= 2.8);
    CHECK(best_at <= 3.3);
}

TEST_CASE("header: least scatter of the flow lies at fL/D of 3.11 regain factors") {
    // p - p0 = theta/2 (1 - (1-X)^2) - fL/(6D) (1 - (1-X)^3) has its least standard deviation at
    // 3.111 theta (evaluated from the momentum equation of Chou and Cheng 2001); 10 % allowed.
    const auto scatter = [](double friction) {
        double sum = 0;
        for (const double v : even_header(friction)) {
            sum += (v - 1) * (v - 1);
        }
        return sum;
    };
    const double middle = scatter(3.111);
    CHECK(middle < scatter(3.111 * 0.9));
    CHECK(middle < scatter(3.111 * 1.1));
}

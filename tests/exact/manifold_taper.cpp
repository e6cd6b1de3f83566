#include "cases/report/words/numbers.hpp"
#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"

#include <algorithm>
#include <cmath>

using plenair::test::at_end;
using plenair::test::at_start;
using plenair::test::over_mean;
using plenair::test::run_rig;
using plenair::test::SlotHeader;

// Header whose section falls in a straight line to `e` times itself at the closed end, theta = 1,
// no friction: u^2 + v^2 = H, d(u A)/dX = -m v (Bernoulli and continuity; the manifold equation of
// Acrivos A., Babcock B. D., Pigford R. L. 1959 with a section that changes).

namespace {

class TaperedHeader final {
public:
    TaperedHeader(double m, double e) : m_(m), e_(e) {}

    /// Outflow of each of n cells over the mean; H is found so that nothing is left at the end.
    [[nodiscard]] std::vector<double> cells(int n) const {
        double low = 1;
        double high = 1e5;
        for (int k = 0; k < 100; ++k) {
            const double head = std::sqrt(low * high);
            (outflow(head, n, nullptr) > 0 ? low : high) = head;
        }
        std::vector<double> flow;
        outflow(std::sqrt(low * high), n, &flow);
        return over_mean(flow);
    }

private:
    [[nodiscard]] double slope(double head, double q, double x) const {
        const double u = q / (1 - (1 - e_) * x);
        return -m_ * std::sqrt(std::max(head - u * u, 0.0));
    }

    /// Runge-Kutta of fourth order, 100 steps a cell. @returns what is left at the closed end
    double outflow(double head, int n, std::vector<double>* flow) const {
        constexpr int steps = 100;
        const double h = 1.0 / (n * steps);
        double q = 1;
        for (int i = 0; i < n; ++i) {
            const double before = q;
            for (int k = 0; k < steps; ++k) {
                const double x = h * (i * steps + k);
                const double k1 = slope(head, q, x);
                const double k2 = slope(head, q + 0.5 * h * k1, x + 0.5 * h);
                const double k3 = slope(head, q + 0.5 * h * k2, x + 0.5 * h);
                const double k4 = slope(head, q + h * k3, x + h);
                q += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
            }
            if (flow != nullptr) {
                flow->push_back(before - q);
            }
        }
        return q;
    }

    double m_, e_;
};

}  // namespace

TEST_CASE("tapered header: every cell of the slot equals the integrated equation") {
    struct Row {
        double m, e, inlet, closed;
    };
    // End values integrated independently to 1e-10.
    const Row rows[] = {
        {0.3, 1.0, 0.9698, 1.0152},  {0.3, 0.75, 0.9722, 1.0174}, {0.3, 0.5, 0.9756, 1.0207},
        {0.3, 0.25, 0.9814, 1.0262}, {0.3, 0.10, 0.9882, 1.0327}, {0.5, 1.0, 0.9152, 1.0429},
        {0.5, 0.75, 0.9224, 1.0492}, {0.5, 0.5, 0.9328, 1.0583},  {0.5, 0.25, 0.9502, 1.0737},
        {0.5, 0.10, 0.9698, 1.0911}, {1.0, 1.0, 0.6421, 1.1884},  {1.0, 0.75, 0.6883, 1.2140},
        {1.0, 0.5, 0.7496, 1.2498},  {1.0, 0.25, 0.8389, 1.3053}, {1.0, 0.10, 0.9198, 1.3587},
        {1.2, 1.0, 0.4665, 1.2875},  {1.2, 0.75, 0.5568, 1.3229}, {1.2, 0.5, 0.6633, 1.3711},
        {1.2, 0.25, 0.8000, 1.4422}, {1.2, 0.10, 0.9086, 1.5052}};
    for (const Row& row : rows) {
        CAPTURE(row.m);
        CAPTURE(row.e);
        SlotHeader header;
        header.depression = 200;
        header.end_over_start = row.e;
        header.width = row.m * header.area / (header.cd * header.length);
        const auto result = run_rig(header.text());
        const auto flow = over_mean(result.flow_per_length);
        REQUIRE(flow.size() == 100);
        // Cells hold 0.1 %; half a cell further out, at the wall, twice that.
        const auto shape = plenair::slot_shape(result.x, result.flow_per_length);
        REQUIRE(shape.has_value());
        CHECK(shape->start_over_mean == near(row.inlet, 2e-3));
        CHECK(shape->far_over_mean == near(row.closed, 2e-3));
        const auto exact = TaperedHeader(row.m, row.e).cells(100);
        const auto fine = TaperedHeader(row.m, row.e).cells(400);
        CHECK(at_start(fine) == near(row.inlet, 0, 1e-4));
        CHECK(at_end(fine) == near(row.closed, 0, 1e-4));
        double worst = 0;
        for (std::size_t i = 0; i < flow.size(); ++i) {
            worst = std::max(worst, std::abs(flow[i] / exact[i] - 1));
        }
        CHECK(worst < 1e-3);
    }
}

TEST_CASE("tapered header: a full taper is exactly even at regain factor 1") {
    // The velocity stays constant along it, so nothing is regained and the slot flows alike
    // everywhere (Acrivos, Babcock, Pigford 1959, section falling to nothing); last cell excluded.
    for (const double m : {0.3, 0.5, 1.0, 1.2}) {
        CAPTURE(m);
        SlotHeader header;
        header.end_over_start = 1e-8;
        header.width = m * header.area / (header.cd * header.length);
        auto flow = run_rig(header.text()).flow_per_length;
        flow.pop_back();
        for (const double f : over_mean(flow)) {
            CHECK(f == near(1, 1e-6));
        }
    }
}

TEST_CASE("tapered header: a taper to half the section leaves the spread and enriches the end") {
    // m 0.5: largest minus smallest 0.128 straight, 0.126 at half the section (same equation).
    SlotHeader straight;
    straight.depression = 200;
    straight.width = 0.5 * straight.area / (straight.cd * straight.length);
    SlotHeader tapered = straight;
    tapered.end_over_start = 0.5;
    const auto a = over_mean(run_rig(straight.text()).flow_per_length);
    const auto b = over_mean(run_rig(tapered.text()).flow_per_length);
    CHECK(at_end(a) - at_start(a) == near(0.128, 0, 1e-3));
    CHECK(at_end(b) - at_start(b) == near(0.126, 0, 1e-3));
    CHECK(at_end(b) > at_end(a));
}

TEST_CASE("tapered header: regain above one lets the pressure rise along a full taper") {
    // The velocity hardly changes along it, so A dp = -(theta - 1) u dm (same equation): no change
    // at theta 1. The last fifth, where the section vanishes, is left out.
    const auto growth = [](double theta) {
        SlotHeader header;
        header.depression = 200;
        header.end_over_start = 1e-3;
        header.width = 0.5 * header.area / (header.cd * header.length);
        header.model.regain = theta;
        const auto flow = over_mean(run_rig(header.text()).flow_per_length);
        return flow[79] / flow[0] - 1;
    };
    CHECK(growth(1.0) == near(0, 0, 1e-3));
    CHECK(growth(1.05) > 5e-3);
}

#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"

#include <cmath>
#include <string>
#include <vector>

using plenair::test::over_mean;
using plenair::test::run_rig;
using plenair::test::RunnerHeader;
using plenair::test::spread;

// Runners on a plenum whose section falls in a straight line: the equations of a straight header
// (Hudson, Uhler, Bailey 1979; Gardel 1957) with the section of each station, and Bernoulli from
// one station to the next.

namespace {

/// Shares from those equations, without density change.
class Stations final {
public:
    explicit Stations(const RunnerHeader& h) : h_(h), tee_(h.model.mouth_law == "tee") {}

    [[nodiscard]] std::vector<double> shares() const {
        double low = -0.45;
        double high = 50;
        for (int k = 0; k < 200; ++k) {
            const double middle = 0.5 * (low + high);
            (left_over(middle, nullptr) > 0 ? low : high) = middle;
        }
        std::vector<double> w;
        left_over(0.5 * (low + high), &w);
        return over_mean(w);
    }

private:
    [[nodiscard]] double area(int i) const {
        return 1 - (1 - h_.end_over_start) * (i + 0.5) / h_.runners;
    }

    [[nodiscard]] double branch_loss(double q, double a) const {
        return tee_ ? 0.95 * (1 - q) * (1 - q) + q * q * (1 + (0.4 - 0.1 * a) / (a * a)) +
                          0.4 * q * (1 + a) / a
                    : h_.model.crossflow_loss + h_.entry_loss * q * q / (a * a);
    }

    [[nodiscard]] double run_loss(double q) const {
        return tee_ ? 0.03 * (1 - q) * (1 - q) + 0.35 * q * q - 0.2 * q * (1 - q)
                    : (1 - h_.model.regain) * (1 - (1 - q) * (1 - q));
    }

    /// Velocity into a runner at static pressure p and approach velocity u; 0 where none flows.
    [[nodiscard]] double runner_velocity(double p, double u, double a) const {
        double low = 0;
        double high = 50;
        for (int k = 0; k < 100; ++k) {
            const double w = 0.5 * (low + high);
            const double rest =
                p + 0.5 * u * u * (1 - branch_loss(a * w / u, a)) - 0.5 * h_.rest_loss * w * w;
            (rest > 0 ? low : high) = w;
        }
        return low;
    }

    /// Flow left behind the last runner, for static pressure p at the first and flow 1.
    double left_over(double p, std::vector<double>* w) const {
        double flow = 1;
        for (int i = 0; i < h_.runners; ++i) {
            const double u = flow / area(i);
            const double a = h_.area_ratio / area(i);
            const double out = runner_velocity(p, u, a);
            if (w != nullptr) {
                w->push_back(out);
            }
            const double next = u - a * out;
            p += 0.5 * (u * u - next * next) - 0.5 * run_loss(a * out / u) * u * u;
            flow = next * area(i);
            if (flow <= 0) {
                return -1;
            }
            if (i + 1 < h_.runners) {
                const double ahead = flow / area(i + 1);
                p += 0.5 * (next * next - ahead * ahead);
            }
        }
        return flow;
    }

    const RunnerHeader& h_;
    bool tee_;
};

RunnerHeader tapered(int runners, double area_ratio, double end_over_start, bool tee) {
    RunnerHeader header;
    header.runners = runners;
    header.area_ratio = area_ratio;
    header.end_over_start = end_over_start;
    header.depression = 1000;
    header.model.mouth_law = tee ? "tee" : "lateral";
    header.model.regain = tee ? 1.0 : 1.05;
    return header;
}

/// The rig against the equations, each runner to 0.5 % of flow. @returns the equations' shares
std::vector<double> check_shares(const RunnerHeader& header) {
    const auto expected = Stations(header).shares();
    const auto flow = over_mean(run_rig(header.text()).flow_per_runner);
    REQUIRE(flow.size() == expected.size());
    for (std::size_t i = 0; i < flow.size(); ++i) {
        CAPTURE(i + 1);
        CHECK(flow[i] == near(expected[i], 5e-3));
    }
    return expected;
}

}  // namespace

TEST_CASE("tapered plenum: eight runners after Hudson") {
    struct Row {
        double end_over_start, first, last, spread;
    };
    const Row rows[] = {{1.0, 0.736, 1.178, 44}, {0.5, 0.797, 1.229, 43}, {0.25, 0.869, 1.239, 37}};
    for (const Row& row : rows) {
        CAPTURE(row.end_over_start);
        const auto shares = check_shares(tapered(8, 0.25, row.end_over_start, false));
        CHECK(shares.front() == near(row.first, 0, 6e-4));
        CHECK(shares.back() == near(row.last, 0, 6e-4));
        CHECK(100 * spread(shares) == near(row.spread, 0, 0.5));
    }
}

TEST_CASE("tapered plenum: four wide runners after Hudson") {
    struct Row {
        double end_over_start, spread;
    };
    const Row rows[] = {{1.0, 25.9}, {0.5, 25.0}, {0.25, 17.4}};
    for (const Row& row : rows) {
        CAPTURE(row.end_over_start);
        const auto shares = check_shares(tapered(4, 0.40, row.end_over_start, false));
        CHECK(100 * spread(shares) == near(row.spread, 0, 0.05));
    }
}

TEST_CASE("tapered plenum: eight runners after Gardel") {
    // The run behind the last runner carries nothing, so no run loss is charged there.
    for (const double end_over_start : {1.0, 0.5, 0.25}) {
        CAPTURE(end_over_start);
        (void)check_shares(tapered(8, 0.25, end_over_start, true));
    }
}

TEST_CASE("tapered plenum: Hudson and Gardel part by up to a tenth of the flow") {
    // Straight they agree to two per cent; at a quarter of the section they do not.
    const auto lateral = over_mean(run_rig(tapered(8, 0.25, 0.25, false).text()).flow_per_runner);
    const auto tee = over_mean(run_rig(tapered(8, 0.25, 0.25, true).text()).flow_per_runner);
    CHECK(lateral.back() - tee.back() > 0.05);
    CHECK(lateral.back() - tee.back() < 0.12);
}

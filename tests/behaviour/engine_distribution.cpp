#include <doctest/doctest.h>

#include "solver/march/steady.hpp"
#include "tests/support/engine.hpp"
#include "tests/support/near.hpp"

#include <numeric>

// What intake designers know from flow benches and engines (common practice): not exact numbers but
// order and sign.
using namespace plenair;

namespace {

/// Flow of each runner over the mean, less one, all runners open.
std::vector<double> bench_biases(const Case& c) {
    const BenchResult r = solve_bench(c.intake, {}, c.model, {});
    REQUIRE_MESSAGE(r.converged, r.failure);
    const double mean = r.flow / static_cast<double>(r.flow_per_runner.size());
    std::vector<double> biases;
    for (const double flow : r.flow_per_runner) {
        biases.push_back(flow / mean - 1.0);
    }
    CHECK(std::accumulate(biases.begin(), biases.end(), 0.0) == near(0.0, 0.0, 1e-9));
    return biases;
}

double spread(const std::vector<double>& biases) {
    const auto [low, high] = std::minmax_element(biases.begin(), biases.end());
    return *high - *low;
}

void check_rises_to_the_far_end(const std::vector<double>& biases) {
    const auto [low, high] = std::minmax_element(biases.begin(), biases.end());
    CHECK(low == biases.begin());
    CHECK(high == biases.end() - 1);
}

/// Slots narrower than the throttle, by effective area of the result at a point.
Case with_slot(double width_mm) {
    return test::shipped(test::hill_climb, {"slot.width=" + std::to_string(width_mm) + " mm"});
}

}  // namespace

TEST_CASE("bench: an end-fed plenum without slot feeds the far cylinder of a four most") {
    Case c = test::shipped(test::hill_climb);
    test::make_log_plenum(c.intake);
    check_rises_to_the_far_end(bench_biases(c));
}

TEST_CASE("bench: an end-fed log feeds the far cylinder of a six most, rising all the way") {
    const auto biases = bench_biases(test::shipped(test::marine_log));
    check_rises_to_the_far_end(biases);
    CHECK(std::is_sorted(biases.begin(), biases.end()));
}

TEST_CASE("bench: a slot smaller than the throttle brings the four within 2 %") {
    const Case c = test::shipped(test::hill_climb);
    CHECK(test::solve_named(c, "A4").slot_to_throttle < 1.0);
    CHECK(spread(bench_biases(c)) < 0.02);
    Case log = c;
    test::make_log_plenum(log.intake);
    CHECK(spread(bench_biases(c)) < spread(bench_biases(log)));
}

TEST_CASE("slot: the narrower, the larger the loss and the smaller the flow, 3 to 10 mm") {
    double last_loss = 1e9;
    double last_flow = 0.0;
    for (const double width : {3.0, 4.0, 5.0, 6.0, 8.0, 10.0}) {
        CAPTURE(width);
        const PointResult r = test::solve_named(with_slot(width), "A4");
        REQUIRE_MESSAGE(r.converged, r.failure);
        CHECK(r.slot_loss > 0.0);
        CHECK(r.slot_loss < last_loss);
        CHECK(r.air_flow > last_flow);
        last_loss = r.slot_loss;
        last_flow = r.air_flow;
    }
}

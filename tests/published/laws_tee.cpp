#include <doctest/doctest.h>

#include <array>
#include <cmath>

#include "solver/laws/mouth.hpp"
#include "solver/laws/tee.hpp"
#include "tests/reference/mouth_losses.hpp"
#include "tests/reference/tee_losses.hpp"
#include "tests/support/near.hpp"

using namespace plenair::laws;
using namespace plenair::reference;

namespace {

/// a, q, then branch K on the approach velocity by Bassett 2001, Gardel 1957, Idelchik 2006
/// (Diagrams 7-16 to 7-20), Hudson 1979 long and short. Recomputed from the published formulas.
struct DividingRow {
    double a, q, bassett, gardel, idelchik, hudson_long, hudson_short;
};
constexpr std::array<DividingRow, 27> dividing = {{
    {1.0, 0, 1.000, 0.950, 1.000, 0.900, 1.670},    {1.0, 0.2, 0.887, 0.820, 0.915, 0.916, 1.698},
    {1.0, 0.4, 0.854, 0.870, 0.882, 0.964, 1.782},  {1.0, 0.5, 0.867, 0.963, 0.875, 1.000, 1.845},
    {1.0, 0.6, 0.901, 1.100, 0.870, 1.044, 1.922},  {1.0, 0.8, 1.028, 1.510, 0.984, 1.156, 2.118},
    {1.0, 1.0, 1.235, 2.100, 1.200, 1.300, 2.370},  {0.6, 0.2, 0.856, 0.899, 0.978, 0.944, 1.748},
    {0.6, 0.4, 0.934, 1.080, 1.098, 1.078, 1.981},  {0.6, 0.6, 1.235, 1.492, 1.280, 1.300, 2.370},
    {0.6, 0.8, 1.757, 2.136, 1.667, 1.611, 2.914},  {0.6, 1.0, 2.502, 3.011, 2.267, 2.011, 3.614},
    {0.5, 0.1, 0.887, 0.913, 0.978, 0.916, 1.698},  {0.5, 0.2, 0.854, 0.944, 1.021, 0.964, 1.782},
    {0.5, 0.4, 1.028, 1.206, 1.246, 1.156, 2.118},  {0.5, 0.6, 1.522, 1.736, 1.562, 1.476, 2.678},
    {0.5, 0.8, 2.335, 2.534, 2.136, 1.924, 3.462},  {0.5, 1.0, 3.469, 3.600, 3.000, 2.500, 4.470},
    {0.4, 0.1, 0.871, 0.942, 0.999, 0.925, 1.714},  {0.4, 0.2, 0.867, 1.018, 1.100, 1.000, 1.845},
    {0.4, 0.4, 1.235, 1.422, 1.520, 1.300, 2.370},  {0.4, 0.6, 2.102, 2.162, 2.080, 1.800, 3.245},
    {0.4, 1.0, 5.337, 4.650, 4.350, 3.400, 6.045},  {0.25, 0.1, 0.854, 1.039, 1.195, 0.964, 1.782},
    {0.25, 0.2, 1.028, 1.288, 1.574, 1.156, 2.118}, {0.25, 0.4, 2.335, 2.262, 2.919, 1.924, 3.462},
    {0.25, 1.0, 13.94, 9.000, 14.45, 7.300, 12.87},
}};

/// Half a unit of the last printed digit, and never tighter than 0.001.
Near printed(double value) {
    return {value, 0, value >= 10 ? 6e-3 : 1e-3};
}

}  // namespace

TEST_CASE("tee: dividing branch by Gardel") {
    for (const auto& row : dividing) {
        CAPTURE(row.a);
        CAPTURE(row.q);
        CHECK(GardelDividing(row.a).branch(row.q) == printed(row.gardel));
    }
}

TEST_CASE("tee: dividing branch by Idelchik") {
    for (const auto& row : dividing) {
        CAPTURE(row.a);
        CAPTURE(row.q);
        CHECK(idelchik_dividing_branch(row.q, row.a) == printed(row.idelchik));
    }
}

TEST_CASE("tee: dividing branch by Bassett") {
    for (const auto& row : dividing) {
        CAPTURE(row.a);
        CAPTURE(row.q);
        CHECK(bassett_dividing_branch(row.q, row.a) == printed(row.bassett));
    }
}

TEST_CASE("tee: laterals by Hudson, long and short") {
    for (const auto& row : dividing) {
        CAPTURE(row.a);
        CAPTURE(row.q);
        CHECK(hudson_branch(row.q, row.a, long_lateral) == printed(row.hudson_long));
        CHECK(hudson_branch(row.q, row.a, short_lateral) == printed(row.hudson_short));
    }
}

TEST_CASE("tee: straight-through loss and static rise of a dividing tee") {
    // q, K_run Bassett, Gardel, Idelchik a > 0.4, a <= 0.4; static rise Bassett, Gardel, Idelchik
    // narrow, wide
    constexpr std::array<std::array<double, 9>, 7> rows = {
        {{0.05, -0.0225, 0.0184, -0.0045, 0.0010, 0.1200, 0.0791, 0.0965, 0.1020},
         {0.10, -0.0400, 0.0098, -0.0160, 0.0040, 0.2300, 0.1802, 0.1860, 0.2060},
         {0.125, -0.0469, 0.0066, -0.0234, 0.0063, 0.2812, 0.2278, 0.2281, 0.2578},
         {0.25, -0.0625, 0.0013, -0.0625, 0.0250, 0.5000, 0.4363, 0.4125, 0.5000},
         {0.50, 0.0000, 0.0450, 0.0000, 0.1000, 0.7500, 0.7050, 0.6500, 0.7500},
         {0.75, 0.1875, 0.1612, 0.0844, 0.2250, 0.7500, 0.7763, 0.7125, 0.8531},
         {1.00, 0.5000, 0.3500, 0.3000, 0.4000, 0.5000, 0.6500, 0.6000, 0.7000}}};
    for (const auto& [q, bassett, gardel, wide, narrow, s1, s2, s3, s4] : rows) {
        CHECK(bassett_dividing_run(q) == near(bassett, 0, 1e-4));
        CHECK(GardelDividing::run(q) == near(gardel, 0, 1e-4));
        CHECK(idelchik_dividing_run(q, 0.5) == near(wide, 0, 1e-4));
        CHECK(idelchik_dividing_run(q, 0.4) == near(narrow, 0, 1e-4));
        CHECK(static_rise(q, bassett_dividing_run(q)) == near(s1, 0, 1e-4));
        CHECK(static_rise(q, GardelDividing::run(q)) == near(s2, 0, 1e-4));
        CHECK(static_rise(q, idelchik_dividing_run(q, 0.4)) == near(s3, 0, 1e-4));
        CHECK(static_rise(q, idelchik_dividing_run(q, 0.5)) == near(s4, 0, 1e-4));
    }
}

TEST_CASE("tee: combining, Gardel and Idelchik") {
    // a, q, Gardel K_b, Idelchik K_b, Gardel K_r, Idelchik K_r
    constexpr std::array<std::array<double, 6>, 9> rows = {
        {{1, 0, -0.920, -0.900, 0.030, 0},
         {1, 0.25, -0.255, -0.042, 0.243, 0.325},
         {1, 0.5, 0.320, 0.413, 0.413, 0.525},
         {1, 0.75, 0.805, 0.791, 0.538, 0.600},
         {1, 1, 1.200, 1.100, 0.620, 0.550},
         {0.5, 0.25, -0.011, 0.084, 0.349, 0.325},
         {0.5, 0.5, 1.045, 0.825, 0.585, 0.525},
         {0.5, 1, 3.600, 2.750, 0.810, 0.550},
         {0.25, 0.5, 3.507, 4.500, 0.671, 0.525}}};
    for (const auto& [a, q, gardel_b, idelchik_b, gardel_r, idelchik_r] : rows) {
        const GardelCombining gardel(a);
        CHECK(gardel.branch(q) == near(gardel_b, 0, 1e-3));
        CHECK(gardel.run(q) == near(gardel_r, 0, 1e-3));
        CHECK(idelchik_combining_branch(q, a) == near(idelchik_b, 0, 1e-3));
        CHECK(idelchik_combining_run(q) == near(idelchik_r, 0, 1e-3));
    }
}

TEST_CASE("tee: a rounded edge lowers the branch loss and leaves the run") {
    // Costa, Maia, Proenca, Pinho 2006: 10 to 20 % through the branch
    const double sharp = GardelDividing(1.0).branch(0.5);
    const double rounded = GardelDividing(1.0, 0.1).branch(0.5);
    CHECK(rounded < sharp);
    CHECK(rounded > 0.75 * sharp);
}

TEST_CASE("tee: no dividing family makes energy") {
    for (const double a : {0.15, 0.25, 0.4, 0.5, 0.6, 1.0})
        for (int i = 0; i <= 100; ++i) {
            const double q = 0.01 * i;
            const auto captured_a = a;
            CAPTURE(captured_a);
            const auto captured_q = q;
            CAPTURE(captured_q);
            REQUIRE(tee_dissipation(q, GardelDividing(a).branch(q), GardelDividing::run(q)) >= 0);
            REQUIRE(tee_dissipation(
                        q, idelchik_dividing_branch(q, a), idelchik_dividing_run(q, a)) >= 0);
            REQUIRE(tee_dissipation(q, bassett_dividing_branch(q, a), bassett_dividing_run(q)) >=
                    0);
            // run loss of the regain model with theta 1.05: (theta - 1) (1 - (1-q)^2)
            const double run = 0.05 * (1 - (1 - q) * (1 - q));
            REQUIRE(tee_dissipation(q, hudson_branch(q, a, long_lateral), run) >= 0);
        }
}

TEST_CASE("mouth: a regain and cross-flow pair that makes energy is refused") {
    // as the outflow tends to zero: theta <= 1 + phi/2
    CHECK_FALSE(regain_pair_allowed(1.6, 0.9));
    CHECK(regain_pair_allowed(1.05, 0.9));
    CHECK(regain_pair_allowed(1.45, 0.9));
    CHECK_FALSE(regain_pair_allowed(1.46, 0.9));
    CHECK(regain_pair_allowed(1.0, 0.0));
    // largest theta beside phi 0.9 (Hudson, Uhler, Bailey 1979), by halving
    double low = 1.0;
    double high = 2.0;
    for (int i = 0; i < 50; ++i) {
        const double middle = 0.5 * (low + high);
        (regain_pair_allowed(middle, 0.9) ? low : high) = middle;
    }
    CHECK(low == near(1.45, 1e-6));
    // the same from energy: the stream's own static rise 1 - (1-q)^2 times theta needs the branch's
    // phi
    const double q = 1e-4;
    for (const double theta : {1.40, 1.50}) {
        const double run = (1 - theta) * (1 - (1 - q) * (1 - q));
        CHECK((tee_dissipation(q, 0.9, run) >= 0) == regain_pair_allowed(theta, 0.9));
    }
}

TEST_CASE("mouth: a lateral is driven by the static pressure within a tenth of the velocity head") {
    // Hudson, Uhler, Bailey 1979, long lateral: p + (1 - phi)/2 rho V^2
    const double v = 40, w = 60, rho = 1.2;
    const double drop = mouth_total_drop(rho, 0.4, 0.9, w, v);
    const double drive = 0.5 * rho * v * v - (drop - 0.5 * rho * 0.4 * w * w);
    CHECK(drive == near(0.05 * rho * v * v, 1e-12));
}

#include <doctest/doctest.h>

#include <array>
#include <cmath>

#include "solver/laws/orifice.hpp"
#include "tests/reference/orifice_formulas.hpp"
#include "tests/support/near.hpp"

using namespace plenair::laws;
using namespace plenair::reference;

namespace {

constexpr double pi = 3.14159265358979323846;
constexpr double gas_constant = 8.314 / 0.029;  // of the worked example below

/// Flow through an area with coefficient 1 [kg/s].
double flow(double area, double p1, double temperature, double p2) {
    return area * p1 / std::sqrt(gas_constant * temperature) * psi_exact(p2 / p1, 1.4);
}

/// Upstream pressure that passes `wanted`, by halving.
double upstream(double area, double wanted, double temperature, double p2) {
    double low = p2, high = 1.5 * p2;
    for (int i = 0; i < 80; ++i) {
        const double middle = 0.5 * (low + high);
        (flow(area, middle, temperature, p2) < wanted ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

/// Throttle flow [g/s] against angle [deg] above closed and the factor of its pressure ratio:
/// Crossley and Cook, IEE Control '91, 921, with the cubic coefficient 0.00063.
double map_flow(double t) {
    return 2.821 - 0.05231 * t + 0.10299 * t * t - 0.00063 * t * t * t;
}
double map_factor(double r) {
    return r <= 0.5 ? 1.0 : 2.0 * std::sqrt(r - r * r);
}

}  // namespace

TEST_CASE("restrictions: two in series, the chamber between them at rest") {
    // Idelchik 1986, nozzle formula: worked example printed by a public library of design utilities
    // worked example of a public nozzle formula after Idelchik: nozzle 25 mm into a chamber 2000 Pa
    // above 101325 Pa, area 2 to the outside; flow, area 2 [mm2], printed nozzle drop [Pa]
    constexpr std::array<std::array<double, 3>, 2> rows = {
        {{0.0555, 792.708, 5125.735}, {0.0585, 835.557, 5697.100}}};
    const double nozzle = pi / 4 * 0.025 * 0.025;
    for (const auto& [wanted, area, drop] : rows) {
        CHECK(flow(area * 1e-6, 103325, 288, 101325) == near(wanted, 1e-5));
        CHECK(upstream(nozzle, wanted, 288, 103325) - 103325 == near(drop, 1e-5));
    }
    // the nozzle with air of 293 K
    CHECK(upstream(nozzle, 0.0555, 293, 103325) - 103325 == near(5215.046, 1e-5));
    CHECK(upstream(nozzle, 0.0585, 293, 103325) - 103325 == near(5796.407, 1e-5));
}

TEST_CASE("restrictions: a published throttle map follows the ideal flow function within 3 %") {
    // Crossley P. R., Cook J. A. 1991, IEE Control '91, vol. 2, 921-925
    // r, factor of the map, psi/psi* at gamma 1.4: the map is 1 to 3 % low throughout
    constexpr std::array<std::array<double, 3>, 5> rows = {{{0.95, 0.4359, 0.4493},
                                                            {0.9, 0.6000, 0.6171},
                                                            {0.8, 0.8000, 0.8188},
                                                            {0.7, 0.9165, 0.9322},
                                                            {0.6, 0.9798, 0.9886}}};
    for (const auto& [r, map, ideal] : rows) {
        const double own = psi_exact(r, 1.4) / choked_psi(1.4);
        CHECK(map_factor(r) == near(map, 0, 6e-5));
        CHECK(own == near(ideal, 0, 6e-5));
        CHECK(map_factor(r) == near(own, 3.1e-2));
    }
}

TEST_CASE("restrictions: choked flow of the published throttle map by angle") {
    // Crossley P. R., Cook J. A. 1991, IEE Control '91, vol. 2, 921-925
    constexpr std::array<std::array<double, 2>, 9> rows = {{{0, 2.82},
                                                            {5, 5.06},
                                                            {10, 11.97},
                                                            {20, 37.93},
                                                            {30, 76.93},
                                                            {40, 125.19},
                                                            {50, 178.93},
                                                            {60, 234.37},
                                                            {70, 287.72}}};
    for (const auto& [angle, grams] : rows) CHECK(map_flow(angle) == near(grams, 0, 6e-3));
}

#include <doctest/doctest.h>

#include <array>
#include <cmath>

#include "solver/laws/orifice.hpp"
#include "tests/reference/nozzle.hpp"
#include "tests/reference/orifice_formulas.hpp"
#include "tests/support/near.hpp"

// Ideal flow of a perfect gas through an opening: Saint-Venant and Wantzel 1839 (Heywood 1988, app.
// C).

using namespace plenair::laws;
using namespace plenair::reference;

namespace {

constexpr double air = 287.053;  // J/kg K, of the standard atmosphere

double flow(const OrificeFunction& f, double area, double p1, double t1, double p2, double t2) {
    return orifice_mass_flow(f, area, p1, air * t1, p2, air * t2);
}

}  // namespace

TEST_CASE("orifice: critical ratio and choked flow equal the closed form") {
    // r* = (2/(g+1))^(g/(g-1)), psi* = sqrt(g) (2/(g+1))^((g+1)/(2(g-1)))
    struct Row {
        double gamma, ratio, psi;
    };
    for (const Row& row : {Row{1.40, 0.52828, 0.684731},
                           Row{1.35, 0.53685, 0.676145},
                           Row{1.30, 0.54573, 0.667262},
                           Row{1.25, 0.55493, 0.658065}}) {
        CAPTURE(row.gamma);
        CHECK(critical_ratio(row.gamma) == near(row.ratio, 0, 5e-6));
        CHECK(choked_psi(row.gamma) == near(row.psi, 0, 5e-7));
        CHECK(psi_exact(critical_ratio(row.gamma), row.gamma) ==
              near(choked_psi(row.gamma), 1e-12));
        CHECK(psi_exact(0.2, row.gamma) == near(choked_psi(row.gamma), 1e-12));
    }
}

TEST_CASE("orifice: subsonic flow function at gamma 1.4 equals the closed form") {
    constexpr std::array<std::array<double, 2>, 8> rows = {{{0.99, 0.140662},
                                                            {0.98, 0.197846},
                                                            {0.95, 0.307641},
                                                            {0.90, 0.422581},
                                                            {0.85, 0.501799},
                                                            {0.80, 0.560661},
                                                            {0.70, 0.638317},
                                                            {0.60, 0.676915}}};
    const OrificeFunction f(1.4);
    for (const auto& [r, psi] : rows) {
        CHECK(psi_exact(r, 1.4) == near(psi, 0, 5e-7));
        CHECK(std::sqrt((1.0 - r) * f.flow_factor(1.0 - r)) == near(psi, 0, 5e-7));
    }
}

TEST_CASE("orifice: the polynomial is within 1e-8 of the exact function for every gamma") {
    for (const double gamma : {1.2, 1.25, 1.3, 1.35, 1.4, 1.667}) {
        const OrificeFunction f(gamma);
        for (int i = 1; i <= 1000; ++i) {
            const double x = 1e-3 * i;
            const double psi = psi_exact(1.0 - x, gamma);
            REQUIRE(x * f.flow_factor(x) == near(psi * psi, 1e-8));
        }
        CHECK(f.flow_factor(0.0) == near(2.0, 1e-8));
    }
}

TEST_CASE("orifice: choked flow does not feel the pressure behind it") {
    const OrificeFunction f(1.4);
    const double reference = flow(f, 1e-4, 101325, 288.15, 50000, 288.15);
    for (const double p2 : {53500.0, 40000.0, 20000.0, 1000.0, 1.0})
        CHECK(flow(f, 1e-4, 101325, 288.15, p2, 288.15) == near(reference, 1e-9));
    const double choked = f.choked_x * f.flow_factor(f.choked_x);
    for (const double x : {0.48, 0.5, 0.7, 0.999})
        CHECK(x * f.flow_factor(x) == near(choked, 1e-15));
}

TEST_CASE("orifice: choked air through 1 cm2 and through a 20 mm restrictor") {
    const OrificeFunction f(1.4);
    // mdot = 0.0404147 p0 A/sqrt(T0)
    CHECK(flow(f, 1e-4, 101325, 288.15, 0, 288.15) == near(24.124e-3, 3e-5));
    const double restrictor = 3.14159265358979 / 4 * 0.02 * 0.02;
    CHECK(flow(f, restrictor, 101325, 293.15, 0, 293.15) == near(75.14e-3, 1e-4));
}

TEST_CASE("orifice: ignoring compressibility reads 5.8 % too much at a tenth of pressure drop") {
    CHECK(psi_exact(0.99, 1.4) / std::sqrt(0.02) == near(0.9946, 0, 5e-5));
    CHECK(psi_exact(0.95, 1.4) / std::sqrt(0.10) == near(0.97285, 0, 1e-5));
    CHECK(psi_exact(0.90, 1.4) / std::sqrt(0.20) == near(0.9449, 0, 5e-5));
    CHECK(psi_exact(0.80, 1.4) / std::sqrt(0.40) == near(0.8865, 0, 5e-5));
}

TEST_CASE("orifice: rounding near zero changes the flow by less than 0.1 % below r 0.9995") {
    const OrificeFunction f(1.4);
    const double p1 = 101325, t1 = 300;
    for (int i = 0; i < 200; ++i) {
        const double r = 0.9995 - 0.002 * i;
        const double ideal = 1e-4 * p1 / std::sqrt(air * t1) * psi_exact(r, 1.4);
        REQUIRE(flow(f, 1e-4, p1, t1, r * p1, t1) == near(ideal, 1e-3));
    }
}

TEST_CASE("orifice: flow is odd, monotone and of finite slope through zero") {
    const OrificeFunction f(1.35);
    double before = flow(f, 1e-4, 1e5, 300, 1.06e5, 350);
    for (int i = -5999; i <= 6000; ++i) {
        const double p2 = 1e5 - i;
        const double now = flow(f, 1e-4, 1e5, 300, p2, 350);
        REQUIRE(now > before);
        REQUIRE(now == -flow(f, 1e-4, p2, 350, 1e5, 300));
        before = now;
    }
    CHECK(flow(f, 1e-4, 1e5, 300, 1e5, 350) == 0.0);
    const double slope = flow(f, 1e-4, 1e5, 300, 1e5 - 1e-3, 300) / 1e-3;
    CHECK(std::isfinite(slope));
    CHECK(slope == near(flow(f, 1e-4, 1e5, 300, 1e5 - 1e-2, 300) / 1e-2, 1e-4));
}

TEST_CASE("orifice: psi does not depend on the gas constant") {
    // two gases of equal gamma: the same psi from mass flows with R 287 and R 189 (second below)
    const OrificeFunction f(1.3);
    for (const double r : {0.95, 0.8, 0.6, 0.4}) {
        const double first = orifice_mass_flow(f, 1e-4, 1e5, 287.0 * 300, r * 1e5, 287.0 * 300);
        const double second = orifice_mass_flow(f, 1e-4, 1e5, 188.9 * 300, r * 1e5, 188.9 * 300);
        CHECK(first * std::sqrt(287.0 * 300) == near(second * std::sqrt(188.9 * 300), 1e-9));
    }
}

TEST_CASE("nozzle: a 10 mm toroidal throat has a coefficient within 0.5 % of 0.99") {
    // ISO 9300:2005 constants (from memory); Re of choked air at 101325 Pa, 293.15 K
    const double area = 3.14159265358979 / 4 * 0.01 * 0.01;
    const double mass_flow = area * choked_psi(1.4) * 101325 / std::sqrt(air * 293.15);
    const double re = 4 * mass_flow / (3.14159265358979 * 0.01 * 1.813e-5);
    CHECK(toroidal_nozzle(re) == near(0.99, 5e-3));
    CHECK(cylindrical_nozzle(1e6) == near(0.9976 - 0.1388 * std::pow(1e6, -0.2), 1e-12));
}

#include <doctest/doctest.h>

#include <array>
#include <cmath>

#include "solver/laws/friction.hpp"
#include "solver/laws/heat.hpp"
#include "tests/reference/friction_formulas.hpp"
#include "tests/reference/heat_formulas.hpp"
#include "tests/support/near.hpp"

using namespace plenair::laws;
using namespace plenair::reference;

namespace {

/// Re, e/D, Colebrook 1939 (solved), Haaland 1983, Swamee and Jain 1976, Churchill 1977.
struct Row {
    double re, roughness, colebrook, haaland, swamee_jain, churchill;
};
constexpr std::array<Row, 10> rows = {{{4e3, 0, 0.03991, 0.04042, 0.04055, 0.04059},
                                       {1e4, 0, 0.03088, 0.03089, 0.03097, 0.03100},
                                       {1e5, 0, 0.01799, 0.01782, 0.01786, 0.01787},
                                       {1e6, 0, 0.01165, 0.01159, 0.01161, 0.01161},
                                       {1e5, 1e-4, 0.01851, 0.01827, 0.01845, 0.01846},
                                       {1e5, 1e-3, 0.02217, 0.02197, 0.02234, 0.02234},
                                       {1e5, 1e-2, 0.03850, 0.03854, 0.03875, 0.03873},
                                       {1e6, 1e-3, 0.01994, 0.01994, 0.02003, 0.02002},
                                       {1e4, 1e-2, 0.04313, 0.04304, 0.04404, 0.04404},
                                       {2e5, 5e-4, 0.01882, 0.01864, 0.01893, 0.01893}}};

/// 1e-4 of the row and half a unit of its last printed digit.
Near printed(double f) {
    return {f, 1e-4, 5e-6};
}

}  // namespace

namespace {

double factor(const FrictionFit& fit, double re) {
    return FrictionFit::parts_of(fit.turbulent, fit.laminar, re).factor;
}

}  // namespace

TEST_CASE("friction: Colebrook solved") {
    for (const Row& row : rows) {
        CHECK(colebrook(row.re, row.roughness) == printed(row.colebrook));
        const double f = colebrook(row.re, row.roughness);
        const double residual =
            1 / std::sqrt(f) + 2 * std::log10(row.roughness / 3.7 + 2.51 / (row.re * std::sqrt(f)));
        CHECK(residual == near(0, 0, 1e-12));
    }
}

TEST_CASE("friction: Haaland") {
    for (const Row& row : rows) CHECK(haaland(row.re, row.roughness) == printed(row.haaland));
}

TEST_CASE("friction: Swamee and Jain") {
    for (const Row& row : rows)
        CHECK(swamee_jain(row.re, row.roughness) == printed(row.swamee_jain));
}

TEST_CASE("friction: Churchill, and its laminar limit") {
    for (const Row& row : rows) CHECK(churchill(row.re, row.roughness) == printed(row.churchill));
    CHECK(churchill(500, 0) == near(laminar_darcy(500), 1e-6));
}

TEST_CASE("friction: the polynomial for the solver is within 0.2 % of Colebrook") {
    for (const double roughness : {0.0, 1e-6, 1e-5, 1e-4, 5e-4, 1e-3, 5e-3, 1e-2, 3e-2}) {
        const FrictionFit fit(roughness);
        for (int i = 0; i <= 400; ++i) {
            const double re = 4e3 * std::pow(2500.0, i / 400.0);
            CAPTURE(re);
            CAPTURE(roughness);
            REQUIRE(factor(fit, re) == near(colebrook(re, roughness), 2e-3));
        }
    }
}

TEST_CASE("friction: laminar below Re 2000, joined without a step") {
    const FrictionFit fit(1e-4);
    for (const double re : {5.0, 100.0, 1999.0})
        CHECK(factor(fit, re) == near(laminar_darcy(re), 1e-14));
    double before = factor(fit, 1900.0);
    for (int i = 0; i < 2300; ++i) {
        const double re = 1900 + i;
        REQUIRE(factor(fit, re) == near(before, 2e-3));
        before = factor(fit, re);
    }
    CHECK(factor(fit, 0.0) == near(64.0, 1e-12));
}

TEST_CASE("friction: a stated Darcy factor holds at every Reynolds number") {
    const FrictionFit fit = FrictionFit::constant(0.02);
    for (const double re : {0.0, 10.0, 3e3, 1e6}) CHECK(factor(fit, re) == near(0.02, 1e-15));
}

TEST_CASE("heat: Nusselt number at Re 5e4, Pr 0.71 by three laws") {
    // Dittus and Boelter 1930, Colburn 1933, Gnielinski 1976 with Petukhov's factor
    CHECK(dittus_boelter(5e4, 0.71) == near(115.19, 0, 5e-3));
    CHECK(colburn(5e4, 0.71) == near(117.85, 0, 5e-3));
    CHECK(petukhov_darcy(5e4) == near(0.02096, 0, 5e-6));
    CHECK(Gnielinski(0.71).nusselt(5e4, petukhov_darcy(5e4)) == near(105.08, 0, 5e-3));
    CHECK(Gnielinski(0.71).nusselt(500.0, 0.128) == 3.66);
}

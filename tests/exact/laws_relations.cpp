#include <doctest/doctest.h>

#include <array>
#include <cmath>

#include "solver/laws/wiebe.hpp"
#include "solver/laws/woschni.hpp"
#include "tests/reference/expansion.hpp"
#include "tests/reference/fanno.hpp"
#include "tests/reference/heat_formulas.hpp"
#include "tests/reference/isentropic.hpp"
#include "tests/support/near.hpp"

using namespace plenair::laws;
using namespace plenair::reference;

TEST_CASE("isentropic: rows of the gamma 1.4 table") {
    // NACA Report 1135 (1953): M, p/p0, rho/rho0, T/T0, A/A*
    constexpr std::array<std::array<double, 5>, 11> rows = {
        {{0.1, 0.99303, 0.99502, 0.99800, 5.8218},
         {0.2, 0.97250, 0.98028, 0.99206, 2.9635},
         {0.3, 0.93947, 0.95638, 0.98232, 2.0351},
         {0.4, 0.89561, 0.92427, 0.96899, 1.5901},
         {0.5, 0.84302, 0.88517, 0.95238, 1.3398},
         {0.6, 0.78400, 0.84045, 0.93284, 1.1882},
         {0.7, 0.72093, 0.79158, 0.91075, 1.0944},
         {0.8, 0.65602, 0.73999, 0.88652, 1.0382},
         {0.9, 0.59126, 0.68704, 0.86059, 1.0089},
         {1.0, 0.52828, 0.63394, 0.83333, 1.0000},
         {2.0, 0.12780, 0.23005, 0.55556, 1.6875}}};
    for (const auto& [mach, p, rho, t, area] : rows) {
        CHECK(pressure_ratio(mach, 1.4) == near(p, 0, 6e-6));
        CHECK(density_ratio(mach, 1.4) == near(rho, 0, 6e-6));
        CHECK(temperature_ratio(mach, 1.4) == near(t, 0, 6e-6));
        CHECK(area_ratio(mach, 1.4) == near(area, 0, 6e-5));
        CHECK(mach_of_pressure_ratio(pressure_ratio(mach, 1.4), 1.4) == near(mach, 1e-12));
    }
}

TEST_CASE("fanno: length and stagnation pressure to the choked end") {
    // closed form (Shapiro 1953), Darcy factor, gamma 1.4: M, f L*/D, p0/p0*
    constexpr std::array<std::array<double, 3>, 7> rows = {{{0.05, 280.020, 11.591},
                                                            {0.1, 66.9216, 5.8218},
                                                            {0.2, 14.5333, 2.9635},
                                                            {0.3, 5.29925, 2.0351},
                                                            {0.4, 2.30849, 1.5901},
                                                            {0.5, 1.06906, 1.3398},
                                                            {0.7, 0.20814, 1.0944}}};
    for (const auto& [mach, length, stagnation] : rows) {
        CHECK(fanno_length(mach, 1.4) == near(length, 2e-5));
        CHECK(fanno_stagnation_pressure(mach, 1.4) == near(stagnation, 5e-5));
        CHECK(fanno_mach(fanno_length(mach, 1.4), 1.4) == near(mach, 1e-10));
    }
    CHECK(fanno_length(1.0, 1.4) == near(0.0, 0, 1e-15));
    CHECK(fanno_pressure(1.0, 1.4) == near(1.0, 1e-15));
}

TEST_CASE("fanno: nine pipes in series lose the published stagnation pressure") {
    // General-purpose gas network solver's published test: bore 30 mm, 9 x 55.55 mm, smooth, total
    // 4.70 -> 4.50 bar, 550 K, 0.444877 kg/s; here with Colebrook's 0.01241 and gamma 1.3855
    const double gamma = 1.3855, r = 287.0, t0 = 550.0, length = 0.01241 * 9 * 0.05555 / 0.03;
    double low = 0.3, high = 0.7;
    for (int i = 0; i < 60; ++i) {
        const double mach = 0.5 * (low + high);
        const double end = fanno_mach(fanno_length(mach, gamma) - length, gamma);
        const double p0 =
            4.70e5 * fanno_stagnation_pressure(end, gamma) / fanno_stagnation_pressure(mach, gamma);
        (p0 > 4.50e5 ? low : high) = mach;
    }
    CHECK(low == near(0.533, 0, 1.5e-3));
    const double area = 3.14159265358979 / 4 * 0.03 * 0.03;
    const double flow = area * 4.70e5 * pressure_ratio(low, gamma) * low *
                        std::sqrt(gamma / (r * t0 * temperature_ratio(low, gamma)));
    CHECK(flow == near(0.444877, 5e-3));
}

// Borda 1766 and Carnot
TEST_CASE("expansion: Borda-Carnot loss and recovery account for the velocity head") {
    for (const double n : {0.0, 0.1, 0.25, 0.5, 1.0}) {
        const double left = 1.0 - n * n - borda_carnot(n) - borda_carnot_recovery(n);
        CHECK(left == near(0.0, 0, 1e-15));
    }
    CHECK(borda_carnot_recovery(0.25) == near(0.375, 1e-15));
    CHECK(contraction_loss(0.0) == near(0.5, 1e-15));
    CHECK(contraction_loss(1.0) == 0.0);
}

// Wiebe function 1 - exp(-a y^(m + 1)), Heywood 1988, eq. 9.30
TEST_CASE("wiebe: burned fraction and its angles for a 5, m 2") {
    // closed form 1 - exp(-a y^(m+1))
    constexpr std::array<std::array<double, 2>, 5> rows = {
        {{0.1, 0.00499}, {0.25, 0.07515}, {0.5, 0.46474}, {0.75, 0.87869}, {1.0, 0.99326}}};
    for (const auto& [y, x] : rows) CHECK(wiebe(y, 5.0, 2.0) == near(x, 0, 5e-6));
    CHECK(wiebe(0.2762, 5.0, 2.0) == near(0.10, 0, 1e-4));
    CHECK(wiebe(0.5175, 5.0, 2.0) == near(0.50, 0, 1e-4));
    CHECK(wiebe(0.7722, 5.0, 2.0) == near(0.90, 0, 1e-4));
    CHECK(wiebe(1.0, 6.908, 2.0) == near(0.9990, 0, 5e-6));
    CHECK(wiebe(-1.0, 5.0, 2.0) == 0.0);
    CHECK(wiebe(2.0, 5.0, 2.0) == wiebe(1.0, 5.0, 2.0));
}

TEST_CASE("wiebe: the rate is the derivative of the fraction") {
    for (const double y : {0.05, 0.3, 0.6, 0.95}) {
        const double h = 1e-5;
        const double slope = (wiebe(y + h, 5.0, 2.0) - wiebe(y - h, 5.0, 2.0)) / (2 * h);
        CHECK(wiebe_rate(y, 5.0, 2.0) == near(slope, 1e-7));
    }
    CHECK(wiebe_rate(-0.1, 5.0, 2.0) == 0.0);
    CHECK(wiebe_rate(1.1, 5.0, 2.0) == 0.0);
}

TEST_CASE("woschni: coefficient at bore 86 mm, 20 bar, 900 K, 20 m/s") {
    // 3.26 B^-0.2 p^0.8 T^-0.55 w^0.8, p in kPa (Heywood 1988, eq. 12.19)
    CHECK(woschni(0.086, 2000e3, 900.0, 20.0) == near(606.92, 1e-5));
    for (const double pressure : {0.5e5, 20e5, 150e5}) {
        for (const double temperature : {300.0, 900.0, 2700.0}) {
            CHECK(woschni_film(3.26 * std::pow(0.086, -0.2), pressure, temperature, 20.0) ==
                  near(woschni(0.086, pressure, temperature, 20.0), 1e-12));
        }
    }
    // Gas speed: C1 Sp + C2 Vd Tr/(pr Vr) (p - pm), closed and while gas is exchanged.
    CHECK(woschni_burning.piston == 2.28);
    CHECK(woschni_burning.burning == 3.24e-3);
    CHECK(woschni_gas_exchange.piston == 6.18);
    CHECK(woschni_gas_exchange.burning == 0.0);
}

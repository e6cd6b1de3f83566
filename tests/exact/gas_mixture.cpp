#include <doctest/doctest.h>

#include <array>
#include <cmath>

#include "solver/gas/cylinder_gas.hpp"
#include "solver/gas/mixture.hpp"
#include "solver/gas/transport.hpp"
#include "tests/reference/standard_atmosphere.hpp"
#include "tests/support/near.hpp"

using namespace plenair::gas;

namespace {

/// Molar entropy at 1 bar over R: the product needs none, and it shows what its table is worth.
double entropy_over_r(const SpeciesData& s, double t) {
    const Nasa9& p = detail::piece(s, t);
    const auto& a = p.a;
    return -a[0] / (2 * t * t) - a[1] / t + a[2] * std::log(t) +
           t * (a[3] + t * (a[4] / 2 + t * (a[5] / 3 + t * a[6] / 4))) + p.b2;
}

}  // namespace

TEST_CASE("gas: dry air has the published molar mass and oxygen") {
    const Mixture air = dry_air();
    CHECK(air.molar_mass() * 1e3 == near(28.9651, 0, 1e-4));
    CHECK(air.gas_constant() == near(287.051, 0, 1e-3));
    CHECK(air[Species::oxygen] == near(0.23141, 0, 1e-5));
    CHECK(air.gamma(300) == near(1.39993, 0, 5e-6));
    CHECK(air.gamma(288.15) == near(1.40023, 0, 5e-6));
}

TEST_CASE("gas: air by NASA-9 polynomials, cp, gamma, speed of sound, enthalpy") {
    // McBride, Zehe, Gordon, NASA/TP-2002-211556: T, cp, gamma, a, h - h(298.15) [kJ/kg]
    constexpr std::array<std::array<double, 5>, 10> rows = {
        {{250, 1003.08, 1.40089, 317.07, -48.33},
         {300, 1004.81, 1.39993, 347.21, 1.86},
         {400, 1013.45, 1.39517, 400.24, 102.71},
         {500, 1029.53, 1.38661, 446.11, 204.80},
         {600, 1050.99, 1.37575, 486.77, 308.79},
         {800, 1098.73, 1.35365, 557.54, 523.77},
         {1000, 1141.01, 1.33614, 619.31, 747.88},
         {1500, 1210.97, 1.31069, 751.23, 1337.77},
         {2000, 1250.31, 1.29800, 863.24, 1953.89},
         {2500, 1276.02, 1.29025, 962.25, 2585.86}}};
    const Mixture air = dry_air();
    for (const auto& [t, cp, gamma, a, h] : rows) {
        CHECK(air.cp(t) == near(cp, 1e-4));
        CHECK(air.gamma(t) == near(gamma, 1e-4));
        CHECK(air.sound_speed(t) == near(a, 1e-4));
        CHECK((air.enthalpy(t) - air.enthalpy(298.15)) / 1e3 ==
              near(h, 1e-4, 5e-3));  // half a unit of the last digit
    }
}

TEST_CASE("gas: heat capacity of each species") {
    // NASA/TP-2002-211556 at 300, 500, 1000, 1500, 2000 K [J/kg K]
    constexpr std::array<double, 5> at = {300, 500, 1000, 1500, 2000};
    constexpr std::array<std::array<double, 5>, species_count> rows = {
        {{1039.7, 1056.0, 1167.2, 1243.8, 1284.0},
         {918.4, 971.6, 1090.1, 1142.3, 1180.8},
         {520.3, 520.3, 520.3, 520.3, 520.3},
         {845.7, 1014.0, 1234.0, 1326.4, 1370.9},
         {1864.8, 1955.3, 2292.0, 2626.6, 2872.9},
         {879.5, 1042.2, 1254.9, 1344.4, 1388.9}}};
    for (std::size_t s = 0; s < species_count; ++s)
        for (std::size_t i = 0; i < at.size(); ++i) {
            const double r = universal_gas_constant / species_data[s].molar_mass;
            CHECK(r * heat_capacity_over_r(species_data[s], at[i]) == near(rows[s][i], 1e-4));
        }
}

TEST_CASE("gas: heats of formation come back from the polynomials") {
    // NASA/TP-2002-211556 [kJ/mol]: N2, O2, Ar, CO2, H2O, N2O
    constexpr std::array<double, species_count> rows = {0, 0, 0, -393.51, -241.826, 81.60};
    for (std::size_t s = 0; s < species_count; ++s) {
        const double h =
            universal_gas_constant * 298.15 * enthalpy_over_rt(species_data[s], 298.15);
        CHECK(h / 1e3 == near(rows[s], 0, 2.5e-3));
    }
}

TEST_CASE("gas: cp, h, s are continuous where the two ranges meet at 1000 K") {
    const double below = std::nextafter(1000.0, 0.0);
    for (const SpeciesData& s : species_data) {
        CHECK(heat_capacity_over_r(s, below) == near(heat_capacity_over_r(s, 1000.0), 1e-5));
        CHECK(enthalpy_over_rt(s, below) == near(enthalpy_over_rt(s, 1000.0), 1e-5));
        CHECK(entropy_over_r(s, below) == near(entropy_over_r(s, 1000.0), 1e-5));
    }
}

TEST_CASE("gas: dh = cp dT and ds = cp dT/T") {
    for (const SpeciesData& s : species_data)
        for (const double t : {250.0, 700.0, 1300.0, 2600.0}) {
            const double d = 1e-3 * t;
            const double dh =
                (t + d) * enthalpy_over_rt(s, t + d) - (t - d) * enthalpy_over_rt(s, t - d);
            CHECK(dh / (2 * d) == near(heat_capacity_over_r(s, t), 1e-6));
            const double ds = entropy_over_r(s, t + d) - entropy_over_r(s, t - d);
            CHECK(ds / (2 * d) * t == near(heat_capacity_over_r(s, t), 2e-6));
        }
}

TEST_CASE("gas: enthalpy differences of air agree with an independent table") {
    // Keenan and Kaye, Gas Tables (1948), from memory: h = 300.19, 1046.04, 1635.97, 2252.1 kJ/kg
    const Mixture air = dry_air();
    const double base = air.enthalpy(300);
    CHECK((air.enthalpy(1000) - base) / 1e3 == near(745.85, 1e-3));
    CHECK((air.enthalpy(1500) - base) / 1e3 == near(1335.78, 1e-3));
    CHECK((air.enthalpy(2000) - base) / 1e3 == near(1951.91, 1e-3));
}

TEST_CASE("gas: stoichiometric air of fuels") {
    // element balance, air with 23.141 % O2: C8H18, CH1.87, C7H16, C7H8, C2H6O, CH4O
    constexpr std::array<std::array<double, 3>, 6> rows = {{{2.25, 0, 15.13},
                                                            {1.87, 0, 14.60},
                                                            {16.0 / 7.0, 0, 15.18},
                                                            {8.0 / 7.0, 0, 13.51},
                                                            {3.0, 0.5, 9.00},
                                                            {4.0, 1.0, 6.47}}};
    for (const auto& [hydrogen, oxygen, ratio] : rows) {
        const Fuel fuel{hydrogen, oxygen};
        const double burned = fuel.oxygen_demand() * data(Species::oxygen).molar_mass;
        const double air = burned / dry_air()[Species::oxygen];
        CHECK(air / fuel.molar_mass() == near(ratio, 0, 6e-3));
    }
}

TEST_CASE("gas: burning keeps mass and elements") {
    const Fuel fuel{1.87, 0.0};
    const Mixture air = humid_air(0.012);
    for (const double lambda : {0.8, 1.0, 1.3}) {
        const Mixture gas = burned_products(fuel, air, lambda);
        double total = 0;
        for (const double fraction : gas.mass_fraction) total += fraction;
        CHECK(total == near(1.0, 1e-14));
        const double supply = lambda > 1 ? lambda : 1;
        const double air_mass = supply * fuel.oxygen_demand() * 31.9988e-3 / air[Species::oxygen];
        const double carbon =
            gas[Species::carbon_dioxide] / 44.0095e-3 * (air_mass + fuel.molar_mass());
        const double from_air = air[Species::carbon_dioxide] / 44.0095e-3 * air_mass;
        CHECK(carbon - from_air == near(1.0, 1e-5));
        const double nitrogen = gas[Species::nitrogen] * (air_mass + fuel.molar_mass());
        CHECK(nitrogen == near(air[Species::nitrogen] * air_mass, 1e-5));
    }
    CHECK(burned_products(fuel, air)[Species::oxygen] == 0.0);
    CHECK(burned_products(fuel, air, 1.3)[Species::oxygen] > 0.04);
}

TEST_CASE("gas: humid air is lighter and holds less oxygen") {
    const Mixture air = humid_air(0.0142);
    CHECK(air[Species::water] == near(0.0142 / 1.0142, 1e-12));
    const double expected =
        (dry_air().gas_constant() + 0.0142 * universal_gas_constant / 18.01528e-3) / 1.0142;
    CHECK(air.gas_constant() == near(expected, 1e-12));
    CHECK(humid_air(0).gas_constant() == near(dry_air().gas_constant(), 1e-15));
}

TEST_CASE("gas: viscosity by Sutherland's law") {
    // U.S. Standard Atmosphere 1976 constants
    constexpr std::array<std::array<double, 2>, 7> rows = {{{250, 1.5991e-5},
                                                            {288.15, 1.7894e-5},
                                                            {300, 1.8460e-5},
                                                            {400, 2.2853e-5},
                                                            {500, 2.6705e-5},
                                                            {800, 3.6238e-5},
                                                            {1000, 4.1522e-5}}};
    for (const auto& [t, mu] : rows) CHECK(viscosity(t) == near(mu, 1e-4));
}

TEST_CASE("gas: thermal conductivity of the standard atmosphere") {
    // U.S. Standard Atmosphere 1976, eq. (53)
    constexpr std::array<std::array<double, 2>, 4> rows = {
        {{288.15, 0.025326}, {300, 0.026252}, {400, 0.033657}, {500, 0.040409}}};
    for (const auto& [t, k] : rows) CHECK(plenair::reference::conductivity(t) == near(k, 1e-4));
}

TEST_CASE("cylinder gas: energy and heat capacity stay with NASA-9 from 200 to 3600 K") {
    const Mixture air = dry_air();
    const Mixture burned = burned_products(Fuel{}, air);
    const CylinderGas gas(air, burned);
    for (int i = 0; i <= 680; ++i) {
        const double t = 200 + 5 * i;
        const double fresh = air.enthalpy(t) - air.enthalpy(298.15) - air.gas_constant() * t;
        const double products =
            burned.enthalpy(t) - burned.enthalpy(298.15) - burned.gas_constant() * t;
        REQUIRE(gas.energy(t, 1.0) == near(fresh, 0, 150));
        REQUIRE(gas.energy(t, 0.0) == near(products, 0, 150));
        REQUIRE(gas.cv(t, 1.0) == near(air.cv(t), 1.3e-3));
        REQUIRE(gas.cv(t, 0.0) == near(burned.cv(t), 1.3e-3));
    }
    CHECK(gas.gas_constant(1.0) == near(air.gas_constant(), 1e-15));
    CHECK(gas.gas_constant(0.0) == near(burned.gas_constant(), 1e-15));
    CHECK(gas.enthalpy(298.15, 1.0) == near(0.0, 0, 1e-6));
    CHECK(gas.gamma(1500.0, 0.0) == near(burned.gamma(1500), 5e-4));
}

TEST_CASE("cylinder gas: three Newton steps return the temperature to rounding") {
    const CylinderGas gas(dry_air(), burned_products(Fuel{}, dry_air()));
    for (int i = 0; i <= 435; ++i)
        for (const double y : {0.0, 0.07, 0.5, 1.0}) {
            const double t = 150 + 10 * i;
            REQUIRE(gas.temperature(gas.energy(t, y), y) == near(t, 1e-13));
        }
}

TEST_CASE("cylinder gas: energy is continuous and rising beyond the fitted range") {
    const CylinderGas gas(dry_air(), burned_products(Fuel{}, dry_air()));
    for (const double t : {200.0, 3600.0}) {
        const double d = 1e-6;
        const double jump = gas.energy(t + d, 0.3) - gas.energy(t - d, 0.3);
        CHECK(jump == near(2 * d * gas.cv(t, 0.3), 1e-3));
    }
    CHECK(gas.energy(4000.0, 0.3) > gas.energy(3600.0, 0.3));
    CHECK(gas.energy(100.0, 0.3) < gas.energy(200.0, 0.3));
}

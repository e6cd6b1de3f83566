#include <doctest/doctest.h>

#include <array>
#include <cmath>

#include "tests/reference/orifice_plate.hpp"
#include "tests/reference/standard_atmosphere.hpp"
#include "tests/support/near.hpp"

using namespace plenair::reference;

TEST_CASE("orifice plate: coefficient with corner taps") {
    // ISO 5167-2:2003 (Reader-Harris/Gallagher), large pipe; Re 1e4, 5e4, 1e5, 1e6, 1e8
    constexpr std::array<double, 5> re = {1e4, 5e4, 1e5, 1e6, 1e8};
    constexpr std::array<std::array<double, 6>, 6> rows = {
        {{0.2, 0.6017, 0.5987, 0.5981, 0.5974, 0.5972},
         {0.4, 0.6109, 0.6044, 0.6031, 0.6012, 0.6003},
         {0.5, 0.6186, 0.6088, 0.6069, 0.6038, 0.6022},
         {0.6, 0.6282, 0.6134, 0.6103, 0.6054, 0.6027},
         {0.7, 0.6372, 0.6145, 0.6100, 0.6023, 0.5978},
         {0.75, 0.6394, 0.6116, 0.6060, 0.5965, 0.5909}}};
    for (const auto& row : rows)
        for (std::size_t i = 0; i < re.size(); ++i) {
            CAPTURE(row[0]);
            CAPTURE(re[i]);
            CHECK(reader_harris_gallagher(row[0], re[i], 0.1, corner_taps) ==
                  near(row[i + 1], 0, 6e-5));
        }
}

TEST_CASE("orifice plate: coefficient with D and D/2 taps at Re 1e5") {
    // ISO 5167-2:2003 (Reader-Harris/Gallagher)
    constexpr std::array<std::array<double, 2>, 6> rows = {{{0.2, 0.5974},
                                                            {0.4, 0.6018},
                                                            {0.5, 0.6062},
                                                            {0.6, 0.6118},
                                                            {0.7, 0.6169},
                                                            {0.75, 0.6184}}};
    for (const auto& [beta, c] : rows)
        CHECK(reader_harris_gallagher(beta, 1e5, 0.1, radius_taps) == near(c, 0, 6e-5));
}

TEST_CASE("orifice plate: expansibility") {
    // ISO 5167-2:2003, k 1.4; p2/p1 0.99, 0.95, 0.9, 0.85, 0.8
    constexpr std::array<double, 5> ratio = {0.99, 0.95, 0.9, 0.85, 0.8};
    constexpr std::array<std::array<double, 6>, 3> rows = {
        {{0.2, 0.99749, 0.98736, 0.97452, 0.96149, 0.94822},
         {0.5, 0.99735, 0.98667, 0.97313, 0.95938, 0.94539},
         {0.7, 0.99667, 0.98323, 0.96621, 0.94892, 0.93133}}};
    for (const auto& row : rows)
        for (std::size_t i = 0; i < ratio.size(); ++i)
            CHECK(expansibility(row[0], ratio[i], 1.4) == near(row[i + 1], 0, 6e-6));
}

TEST_CASE("orifice plate: worked example with flange taps gives C 0.599033") {
    // ISO 5167-2:2003, worked example of the library fluids (Bell C. 2016-2022)
    // documentation example of a public library: D 73.91 mm, d 22.2 mm, 0.12 kg/s, mu 1.85e-5
    const double bore = 0.07391;
    const double re = 4 * 0.12 / (3.14159265358979323846 * bore * 1.85e-5);
    CHECK(reader_harris_gallagher(0.0222 / bore, re, bore, flange_taps(bore)) ==
          near(0.59903263, 1e-6));
}

TEST_CASE("orifice plate: worked example with a given coefficient gives 11.2039 g/s") {
    // ISO 5167-2:2003, worked example of the library fluids (Bell C. 2016-2022)
    // D 73.9 mm, d 22.2 mm, 1e5 -> 9.9e4 Pa, k 1.4, C 0.5988, eps 0.9975, rho 1.1646
    const double beta = 22.2 / 73.9;
    CHECK(expansibility(beta, 0.99, 1.4) == near(0.9974739, 1e-6));
    CHECK(orifice_plate_flow(0.5988, 0.9975, beta, 0.0222, 1e3, 1.1646) ==
          near(0.01120390943807026, 1e-6));
}

TEST_CASE("orifice plate: solved flow of a 100 mm pipe, beta 0.5, corner taps") {
    // ISO 5167-2:2003: air 293.15 K, 101325 Pa, 2000 Pa, mu 1.813e-5, k 1.4
    const double density = 101325 / (287.05 * 293.15);
    CHECK(density == near(1.20412, 0, 6e-6));
    const double eps = expansibility(0.5, 1 - 2000.0 / 101325, 1.4);
    CHECK(eps == near(0.994760, 0, 6e-7));
    const PlateFlow flow =
        solve_orifice_plate(0.1, 0.05, 2000, density, 1.813e-5, eps, corner_taps);
    CHECK(flow.coefficient == near(0.608251, 0, 1e-6));
    CHECK(flow.reynolds == near(59803, 1e-5));
    CHECK(flow.mass_flow == near(0.0851549, 1e-5));
    CHECK(permanent_loss(0.5, flow.coefficient) == near(0.731, 0, 6e-4));
}

TEST_CASE("standard atmosphere: the 1976 table to 11 km") {
    // U.S. Standard Atmosphere 1976: h, T, p, rho, a
    constexpr std::array<std::array<double, 5>, 8> rows = {
        {{0, 288.15, 101325, 1.22500, 340.294},
         {500, 284.90, 95460.8, 1.16727, 338.370},
         {1000, 281.65, 89874.6, 1.11164, 336.434},
         {1500, 278.40, 84556.0, 1.05807, 334.487},
         {2000, 275.15, 79495.2, 1.00649, 332.529},
         {3000, 268.65, 70108.5, 0.90912, 328.578},
         {5000, 255.65, 54019.9, 0.73612, 320.530},
         {11000, 216.65, 22632.1, 0.36392, 295.070}}};
    for (const auto& [h, t, p, rho, a] : rows) {
        const Atmosphere air = standard_atmosphere(h);
        CHECK(air.temperature == near(t, 1e-4));
        CHECK(air.pressure == near(p, 1e-4));
        CHECK(air.density == near(rho, 1e-4));
        CHECK(air.sound_speed == near(a, 1e-4));
    }
}

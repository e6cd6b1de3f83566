// Trims, lambda, duty and nitrous against sums done by hand from the entries of the shipped cases.

#include "cases/study/trim.hpp"
#include "geometry/error.hpp"
#include "geometry/quantity.hpp"
#include "tests/support/near.hpp"
#include "tests/support/trim_case.hpp"

#include <cmath>
#include <limits>
#include <numeric>

#include <doctest/doctest.h>

using namespace plenair;
using namespace plenair::test;

namespace {

std::vector<double> ratios(const std::vector<double>& percents) {
    std::vector<double> values;
    for (const double p : percents) {
        values.push_back(p / 100);
    }
    return values;
}

double sum(const std::vector<double>& values) {
    return std::accumulate(values.begin(), values.end(), 0.0);
}

/// Duty of demo engines at a fuel flow, as percent.
struct Hand {
    Case c;
    [[nodiscard]] Duty at(double fuel_g_s, double plenum_kpa, double speed_rpm) const {
        const double speed = geometry::from_unit(speed_rpm, "rpm");
        const double ratio =
            staging_ratio(*c.injection, geometry::from_unit(plenum_kpa, "kPa"), speed);
        return duty_of(
            *c.injection, *c.fuel.density, geometry::from_unit(fuel_g_s, "g/s"), ratio, speed);
    }
};

// The hand figures are printed to 0.1 % from fuel flows of three digits.
Near printed(double percent) {
    return {percent / 100, 0.0, 0.0011};
}

}  // namespace

TEST_CASE("trim: more air asks for more fuel, by the same share") {
    const Trims trims = trims_of(ratios(six_at_torque), 0.005);
    REQUIRE(trims.exact.size() == 6);
    for (std::size_t i = 0; i < 6; ++i) {
        CHECK(trims.exact[i] == near(six_at_torque[i] / 100, 0, 1e-15));
    }
    CHECK(std::abs(sum(trims.exact)) < 1e-15);
}

TEST_CASE("trim: rounded to half percents, ties to rich, and the moved mean is stated") {
    const Trims trims = trims_of(ratios(six_at_torque), 0.005);
    const std::vector<double> expected{2.5, 3.5, 3.5, -1.5, -7.0, -0.5};
    for (std::size_t i = 0; i < 6; ++i) {
        CHECK(100 * trims.rounded[i] == near(expected[i], 0, 1e-12));
    }
    CHECK(100 * trims.moved_mean == near(0.5 / 6, 0, 1e-12));  // +0.08 %
}

TEST_CASE("trim: ties go rich on both sides of zero") {
    const Trims trims = trims_of({0.0025, -0.0025, 0.0075, -0.0075}, 0.005);
    CHECK(100 * trims.rounded[0] == near(0.5, 0, 1e-12));
    CHECK(trims.rounded[1] == near(0.0, 0, 1e-12));
    CHECK(100 * trims.rounded[2] == near(1.0, 0, 1e-12));
    CHECK(100 * trims.rounded[3] == near(-0.5, 0, 1e-12));
}

TEST_CASE("trim: shares that do not sum to zero give trims that do") {
    const Trims trims = trims_of({0.03, 0.01}, 0.001);
    CHECK(trims.exact[0] == near(0.01, 0, 1e-15));
    CHECK(trims.exact[1] == near(-0.01, 0, 1e-15));
    CHECK(std::abs(trims.moved_mean) < 1e-15);
}

TEST_CASE("trim: what is no share or no step is refused") {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    CHECK_THROWS_AS((void)trims_of({}, 0.005), InputError);
    CHECK_THROWS_AS((void)trims_of({0.0, nan}, 0.005), InputError);
    CHECK_THROWS_AS((void)trims_of({0.0, -1.0}, 0.005), InputError);
    CHECK_THROWS_AS((void)trims_of({0.0}, 0.0), InputError);
    CHECK_THROWS_AS((void)trims_of({0.0}, nan), InputError);
}

TEST_CASE("injector: flow on the fuel follows from rating, pressure and both densities") {
    const Case four = shipped(hill_climb);
    const auto flow = [](const Case& c) {
        const auto& in = *c.injection;
        return geometry::to_unit(effective_flow(in.primary, in.pressure, *c.fuel.density) +
                                     effective_flow(*in.secondary, in.pressure, *c.fuel.density),
                                 "cc/min");
    };
    CHECK(flow(four) == near(1139, 0, 0.5));  // 1220 x sqrt(0.684 / 0.785)
    CHECK(flow(shipped(marine_log)) == near(460, 0, 0.5));  // 480 x sqrt(0.684 / 0.745)
    // 340 x sqrt(350 / 300) x sqrt(0.684 / 0.755)
    CHECK(flow(shipped(v6_bank)) == near(349.5, 0, 0.06));
}

TEST_CASE("injector: a mass flow rating refers to the fluid it was rated on") {
    // lb/h = cc/min x relative density x 0.1323 (arithmetic of the units)
    const Case c = shipped(hill_climb, {"injector.primary.flow=43.44 lb/h"});
    CHECK(geometry::to_unit(c.injection->primary.rated_flow, "cc/min") == near(480, 2e-3));
}

TEST_CASE("injector: duty of the four at its points equals the hand sums") {
    const Hand four{shipped(hill_climb)};
    const Duty a1 = four.at(3.11, 180, 3500);  // below the staging speed: first stage alone
    CHECK(a1.primary.flow == printed(53.1));
    CHECK(a1.primary.commanded == printed(55.8));
    CHECK(a1.secondary.flow == 0);
    CHECK(a1.secondary.commanded == 0);
    const Duty a2 = four.at(6.96, 245, 5500);
    CHECK(a2.secondary.flow == printed(46.7));
    CHECK(a2.secondary.commanded == printed(51.8));
    const Duty a3 = four.at(9.58, 255, 7000);
    CHECK(a3.secondary.flow == printed(64.3));
    CHECK(a3.secondary.commanded == printed(70.7));
    const Duty a4 = four.at(11.18, 250, 8600);
    CHECK(a4.primary.flow == printed(75.0));
    CHECK(a4.primary.commanded == printed(75.0 + 0.95 / 13.953 * 100));
    CHECK(a4.secondary.commanded == printed(82.9));
    CHECK_FALSE(a4.secondary.over);
}

TEST_CASE("injector: duty of the six and of the bank of three equals the hand sums") {
    const Hand six{shipped(marine_log)};
    const Duty b1 = six.at(1.40, 130, 2200);  // below the staging speed of 2800 rpm
    CHECK(b1.primary.flow == printed(53.5));
    CHECK(b1.primary.commanded == printed(55.3));
    CHECK(six.at(3.19, 160, 3600).primary.commanded == printed(58.9));
    CHECK(six.at(3.93, 165, 4400).primary.commanded == printed(72.4));
    const Duty b4 = six.at(4.29, 165, 5200);
    CHECK(b4.primary.flow == printed(75.2));
    CHECK(b4.primary.commanded == printed(79.5));
    CHECK_FALSE(b4.primary.over);
    const Duty trimmed = six.at(4.29 * 1.019, 165, 5200);  // limit 80 %
    CHECK(trimmed.primary.commanded == printed(80.9));
    CHECK(trimmed.primary.over);
    const Hand three{shipped(v6_bank)};
    const auto fuel = [](double air) { return air / 3 / (14.4 * 0.88); };
    CHECK(three.at(fuel(62.4), 97, 5000).primary.commanded == printed(76.3));
    CHECK(three.at(fuel(98.9), 97, 7200).primary.commanded == printed(64.5));
    CHECK(three.at(fuel(120.2), 97, 9400).primary.commanded == printed(78.9));
}

TEST_CASE("injector: more boost or a trim puts the second stage over its limit, not cut off") {
    const Hand four{shipped(hill_climb)};
    const Duty boosted = four.at(11.18 * 265 / 250, 265, 8600);
    CHECK(boosted.secondary.commanded == printed(87.4));
    CHECK(boosted.secondary.over);
    const Duty trimmed = four.at(11.18 * 1.03, 250, 8600);
    CHECK(trimmed.secondary.commanded == printed(85.1));
    CHECK(trimmed.secondary.over);
    CHECK_FALSE(trimmed.primary.over);
    CHECK(four.at(11.18 * 1.5, 250, 8600).secondary.commanded > 1.0);
}

TEST_CASE("injector: the second stage comes in along a straight ramp of plenum pressure") {
    const Injection in = *shipped(hill_climb).injection;
    const double fast = geometry::from_unit(5500, "rpm");
    CHECK(staging_ratio(in, 139e3, fast) == 0);
    CHECK(staging_ratio(in, 155e3, fast) == near(0.25, 1e-12));
    CHECK(staging_ratio(in, 200e3, fast) == near(1.0, 1e-12));
    CHECK(staging_ratio(in, 300e3, fast) == 1);
    CHECK(staging_ratio(in, 300e3, geometry::from_unit(3999, "rpm")) == 0);
    // Both stages together still deliver the whole fuel.
    const double fuel = geometry::from_unit(5.0, "g/s");
    const Duty d = duty_of(in, 785, fuel, 0.25, fast);
    CHECK(d.secondary.flow == near(0.25 * d.primary.flow, 1e-12));
    CHECK(785 * (d.primary.flow * effective_flow(in.primary, in.pressure, 785) +
                 d.secondary.flow * effective_flow(*in.secondary, in.pressure, 785)) ==
          near(fuel, 1e-12));
}

TEST_CASE("nitrous: the stoichiometric ratio of petrol is 9.3, of the ethanol blend 6.2") {
    // Published for CH1.87 by the same balance of oxygen atoms; the blend from its own.
    CHECK(nitrous_stoich(14.6) == near(9.3, 0, 0.05));
    CHECK(nitrous_stoich(9.80) == near(6.2, 0, 0.05));
}

TEST_CASE("nitrous: extra fuel keeps lambda, a line that gives a tenth less shifts it") {
    const double air = 0.0400, fuel = air / (14.4 * 0.88), flow = 0.006;
    const NitrousCylinder n = nitrous_into(air, fuel, flow, 0.88, 14.4);
    CHECK(n.oxygen == near(0.006 * 0.3635, 1e-4));
    CHECK(n.extra_fuel == near(0.006 / (9.166 * 0.88), 1e-3));
    // Oxygen of the nitrous as air: 6.0 g/s x 0.3635 / 0.2314 = 9.426 g/s beside 40.0.
    const double as_air = flow * oxygen_in_nitrous / oxygen_in_air;
    CHECK(n.lambda_without_fuel == near(0.88 * (1 + as_air / air), 1e-12));
    CHECK(n.lambda_nitrous_low ==
          near((air + 0.9 * as_air) / (14.4 * (fuel + n.extra_fuel)), 1e-12));
    CHECK(n.lambda_fuel_low == near((air + as_air) / (14.4 * (fuel + 0.9 * n.extra_fuel)), 1e-12));
    CHECK(n.lambda_nitrous_low < 0.88);
    CHECK(n.lambda_fuel_low > 0.88);
}

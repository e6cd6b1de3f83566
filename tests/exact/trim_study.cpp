// The trim study on results made by hand: who gets which trim, what it costs elsewhere, what it
// asks of the injectors.

#include "cases/study/trim.hpp"
#include "geometry/error.hpp"
#include "geometry/quantity.hpp"
#include "tests/support/near.hpp"
#include "tests/support/trim_case.hpp"

#include <algorithm>
#include <cmath>

#include <doctest/doctest.h>

using namespace plenair;
using namespace plenair::test;

namespace {

const std::vector<double> six_at_cruise{-1.2, -1.9, -1.3, 2.1, 0.3, 2.1};

TrimResult six_trims(const TrimOptions& options = {}) {
    HandSolved hand(shipped(marine_log));
    hand.add("B1", 120.2, six_at_cruise);
    hand.add("B3", 299.4, six_at_torque);
    return trim(hand.c, hand.solved, options);
}

const FixedTrim& fixed_of(const TrimResult& r, const std::string& from, const std::string& at) {
    return *std::find_if(r.fixed.begin(), r.fixed.end(), [&](const auto& f) {
        return f.from == from && f.at == at;
    });
}

bool any_has(const std::vector<std::string>& texts, const std::vector<std::string>& parts) {
    return std::any_of(texts.begin(), texts.end(), [&](const auto& text) {
        return std::all_of(parts.begin(), parts.end(), [&](const auto& part) {
            return text.find(part) != std::string::npos;
        });
    });
}

}  // namespace

TEST_CASE("trim: keyed by cylinder number, with the firing position beside it") {
    const TrimResult r = six_trims();
    const TrimPoint& torque = r.points.at(1);
    REQUIRE(torque.cylinders.size() == 6);
    // Order 1-5-3-6-2-4: cylinder 5 fires second, cylinder 2 fifth. Taking one for the other would
    // give cylinder 2 the -7.0 % of cylinder 5.
    const std::vector<int> positions{1, 5, 3, 6, 2, 4};
    const std::vector<double> percents{2.5, 3.5, 3.5, -1.5, -7.0, -0.5};
    for (std::size_t i = 0; i < 6; ++i) {
        CHECK(torque.cylinders[i].cylinder == static_cast<int>(i) + 1);
        CHECK(torque.cylinders[i].firing_position == positions[i]);
        CHECK(100 * torque.cylinders[i].trim == near(percents[i], 0, 1e-12));
        CHECK(torque.cylinders[i].multiplier == near(1 + percents[i] / 100, 1e-12));
    }
    CHECK(100 * torque.moved_mean == near(0.5 / 6, 0, 1e-12));
}

TEST_CASE("trim: lambda before and after, and the leanest cylinder with its margin") {
    const TrimResult r = six_trims();
    const TrimPoint& torque = r.points.at(1);
    const std::vector<double> untrimmed{0.890, 0.900, 0.900, 0.858, 0.808, 0.865};
    for (std::size_t i = 0; i < 6; ++i) {
        CHECK(torque.cylinders[i].lambda_untrimmed == near(untrimmed[i], 0, 0.0005));
        CHECK(torque.cylinders[i].lambda_trimmed == near(0.87, 0, 0.003));
    }
    CHECK(torque.leanest == 2);
    CHECK(torque.lean_margin == near(0.030, 0, 0.0005));
    CHECK(
        torque.risk.starts_with("cylinders 2 and 3 get the most air, so they are the leanest on "
                                "equal fuel: lambda 0.900 against 0.870, 0.030 leaner; "));
}

TEST_CASE("trim: fuel follows the trim and keeps its mean but for the rounding") {
    const TrimResult r = six_trims();
    const TrimPoint& torque = r.points.at(1);
    double before = 0, after = 0;
    for (const auto& t : torque.cylinders) {
        before += t.fuel_untrimmed;
        after += t.fuel_trimmed;
    }
    CHECK(before == near(0.2994 / (14.6 * 0.87), 1e-12));
    CHECK(torque.cylinders[0].fuel_untrimmed == near(0.00393, 0, 0.000005));  // hand sum
    CHECK(after == near(before * (1 + torque.moved_mean), 1e-12));
}

TEST_CASE("trim: one fixed table is named with what it costs at every point") {
    const TrimResult r = six_trims();
    CHECK(r.fixed.size() == 4);
    const FixedTrim& away = fixed_of(r, "B3", "B1");
    CHECK(away.spread_untrimmed == near(0.040, 0, 1e-12));
    // Cylinder 5: 1.003 / 0.93; cylinder 2: 0.981 / 1.035.
    CHECK(away.spread_fixed == near(1.003 / 0.93 - 0.981 / 1.035, 1e-12));
    CHECK(away.leanest == 5);
    CHECK(away.lean_margin == near(0.98 * (1.003 / 0.93 - 1), 1e-12));
    CHECK(away.worse);
    CHECK(any_has(
        r.warnings,
        {"trims of B3 kept everywhere", "more spread than no trim at B1 (13.1 % against 4.0 %)"}));
    const FixedTrim& home = fixed_of(r, "B3", "B3");
    CHECK_FALSE(home.worse);
    CHECK(home.spread_fixed < 0.006);
}

TEST_CASE("trim: a stage over its limit is named with cylinder and duty, before and after") {
    HandSolved hand(shipped(hill_climb));
    hand.add("A4", 350.5, {3.0, -1.0, -1.0, -1.0});
    const TrimResult r = trim(hand.c, hand.solved, {});
    const TrimPoint& top = r.points.at(0);
    CHECK(top.second_stage_ratio == 1);
    REQUIRE(top.cylinders[0].duty_trimmed);
    CHECK(top.cylinders[0].duty_untrimmed->secondary.commanded == near(0.829, 0, 0.0011));
    CHECK(top.cylinders[0].duty_trimmed->secondary.commanded == near(0.851, 0, 0.0011));
    CHECK(any_has(
        r.warnings,
        {"A4: cylinder 1, secondary stage: commanded duty 82.9 % before trim, 85.1 % after, over "
         "85 %"}));
    CHECK_FALSE(any_has(r.warnings, {"cylinder 1, primary stage"}));
    CHECK_FALSE(any_has(r.warnings, {"cylinder 2, secondary stage"}));
    CHECK(r.errors.empty());
}

TEST_CASE("trim: a first stage over its limit while the second rests is an error") {
    HandSolved hand(shipped(hill_climb, {"injector.staging_speed=8800 rpm"}));
    hand.add("A4", 350.5, {3.0, -1.0, -1.0, -1.0});
    const TrimResult r = trim(hand.c, hand.solved, {});
    REQUIRE(r.errors.size() == 1);
    CHECK(r.errors[0].starts_with("A4: cylinder 1, primary stage: commanded duty "));
    CHECK(r.errors[0].find("while the second stage rests (plenum 250.0 kPa abs, 8600 rpm; it adds "
                           "from 140.0 kPa abs and 8800 rpm)") != std::string::npos);
    // 854 cc/min through 448 cc/min: nearly twice what there is time for, and said so.
    CHECK(r.points[0].cylinders[0].duty_trimmed->primary.flow == near(1.908 * 1.03, 2e-3));
}

TEST_CASE("trim: the load of a point is the pressure in its plenum, not before the throttle") {
    HandSolved hand(shipped(hill_climb));
    hand.add("A5", 150, {0.5, 0.5, -0.5, -0.5});
    hand.solved.points[0].pressures = {
        {"pre-chamber", {0.1}, {158e3}, {157e3}, {159e3}},
        {"plenum", {0.1, 0.2}, {129e3, 131e3}, {1e5, 1e5}, {2e5, 2e5}}};
    const TrimResult r = trim(hand.c, hand.solved, {});
    CHECK(r.points[0].plenum_pressure == near(130e3, 1e-12));
    CHECK(r.points[0].source_pressure == near(160e3, 1e-12));
    CHECK(r.points[0].second_stage_ratio == 0);  // staging from 140 kPa
}

TEST_CASE("trim: a point that did not converge gets no trims") {
    HandSolved hand(shipped(marine_log));
    hand.add("B1", 120.2, six_at_cruise);
    hand.add("B3", 299.4, six_at_torque);
    hand.solved.points[1].converged = false;
    hand.solved.points[1].failure = "residual 0.02 after 3 cycles";
    const TrimResult r = trim(hand.c, hand.solved, {});
    CHECK_FALSE(r.converged());
    CHECK_FALSE(r.points[1].issued);
    CHECK(r.points[1].cylinders.empty());
    CHECK(r.points[1].failure == "residual 0.02 after 3 cycles");
    CHECK(r.fixed.size() == 1);
}

TEST_CASE("trim: nitrous at named points only, as a list by cylinder number") {
    HandSolved hand(
        shipped(v6_bank, {"nitrous.flow=6.0, 6.1, 6.2 g/s", "nitrous.points=[\"C3\"]"}));
    hand.add("C1", 62.4, {-0.1, 0.8, -0.7});
    hand.add("C3", 120.2, {-1.1, 3.8, -2.7});
    const TrimResult r = trim(hand.c, hand.solved, {});
    CHECK(r.points[0].nitrous.empty());
    REQUIRE(r.points[1].nitrous.size() == 3);
    for (int i = 0; i < 3; ++i) {
        const auto& n = r.points[1].nitrous[static_cast<std::size_t>(i)];
        CHECK(n.cylinder == i + 1);
        CHECK(n.flow == near(0.0060 + 0.0001 * i, 1e-12));
        CHECK(n.lambda_fuel_low > n.lambda_nitrous_low);
    }
}

TEST_CASE("trim: a map is straight between the points, and empty beyond them") {
    TrimOptions options;
    options.step = 0.0001;
    for (const double speed : {2000.0, 2200.0, 3300.0, 4400.0}) {
        options.map_speeds.push_back(geometry::from_unit(speed, "rpm"));
    }
    const TrimResult r = six_trims(options);
    REQUIRE(r.map.size() == 6);
    const auto& five = r.map[4];
    CHECK(five.cylinder == 5);
    CHECK(five.firing_position == 2);
    REQUIRE(five.trim.size() == 4);
    CHECK_FALSE(five.trim[0]);
    CHECK(*five.trim[1] == near(0.0028, 0, 0.0001));  // 0.3 % less the mean of 0.017 %
    CHECK(*five.trim[2] == near(0.5 * (0.0028 - 0.0713), 0, 0.0001));
    CHECK(*five.trim[3] == near(-0.0713, 0, 0.0001));
}

TEST_CASE("trim: a map over speed and load meets every point and the plane between three") {
    HandSolved hand(shipped(hill_climb));
    hand.add("A1", 104.9, {1, -1, 0, 0});
    hand.add("A2", 223.7, {2, -2, 0, 0});
    hand.add("A5", 150.0, {3, -3, 0, 0});
    TrimOptions options;
    options.step = 0.0001;
    // A1 3500 rpm 180 kPa, A2 5500 rpm 245 kPa, A5 5500 rpm 160 kPa.
    options.map_speeds = {geometry::from_unit(3500, "rpm"),
                          geometry::from_unit(4500, "rpm"),
                          geometry::from_unit(5500, "rpm")};
    options.map_pressures = {160e3, 180e3, 191.25e3, 245e3};
    const auto map = trim(hand.c, hand.solved, options).map;
    const auto at = [&](std::size_t speed, std::size_t load) {
        return map[0].trim[4 * speed + load];
    };
    CHECK_FALSE(at(0, 0));
    CHECK(*at(0, 1) == near(0.01, 0, 1e-6));
    CHECK(*at(2, 0) == near(0.03, 0, 1e-6));
    CHECK(*at(2, 3) == near(0.02, 0, 1e-6));
    // Half way in speed at 191.25 kPa: half of A1 and a quarter of each other.
    CHECK(*at(1, 2) == near(0.0175, 0, 5.1e-5));
    CHECK_FALSE(at(1, 3));
}

TEST_CASE("trim: one speed cannot be interpolated") {
    HandSolved hand(shipped(marine_log));
    hand.add("B3", 299.4, six_at_torque);
    TrimOptions options;
    CHECK(any_has(trim(hand.c, hand.solved, options).warnings,
                  {"all points are at 4400 rpm: cannot interpolate over speed"}));
    options.map_speeds = {geometry::from_unit(4000, "rpm")};
    CHECK_THROWS_WITH_AS((void)trim(hand.c, hand.solved, options),
                         "trim map: cannot interpolate: all points are at one speed; add a "
                         "[[point]] at another speed\n",
                         InputError);
}

TEST_CASE("trim: a result of another engine or case is refused") {
    HandSolved hand(shipped(marine_log));
    hand.add("B3", 299.4, six_at_torque);
    CHECK_THROWS_AS((void)trim(shipped(hill_climb), hand.solved, {}), InputError);
    hand.solved.points[0].cylinders.pop_back();
    CHECK_THROWS_AS((void)trim(hand.c, hand.solved, {}), InputError);
}

TEST_CASE("trim: trims beyond a tenth and cylinders far from their target are warned of") {
    HandSolved hand(shipped(marine_log));
    hand.add("B3", 299.4, {11.0, -3.0, -2.0, -2.0, -2.0, -2.0});
    const TrimResult r = trim(hand.c, hand.solved, {});
    CHECK(any_has(r.warnings, {"trim +11.0 % of cylinder 1", "beyond +/-10 %"}));
    CHECK(any_has(r.warnings, {"cylinder 1 is 0.096 leaner than its target on equal fuel"}));
    CHECK(r.points[0].risk.find("fail in seconds") != std::string::npos);
}

TEST_CASE("trim: points on one line carry no map over speed and load") {
    HandSolved hand(shipped(hill_climb));
    hand.add("A1", 104.9, {1, -1, 0, 0});
    hand.add("A2", 223.7, {2, -2, 0, 0});
    TrimOptions options;
    options.map_speeds = {geometry::from_unit(4500, "rpm")};
    options.map_pressures = {200e3};
    CHECK_THROWS_AS((void)trim(hand.c, hand.solved, options), InputError);
    hand.add("A5", 150.0, {3, -3, 0, 0});
    options.map_pressures.clear();  // A2 and A5 are both at 5500 rpm
    CHECK_THROWS_AS((void)trim(hand.c, hand.solved, options), InputError);
}

TEST_CASE("trim: on a grid of points every node keeps its own trims") {
    HandSolved hand(shipped(hill_climb));
    const std::vector<std::string> names{"A1", "A2", "A3", "A4"};
    for (std::size_t i = 0; i < 4; ++i) {
        const double b = static_cast<double>(i) + 1;
        hand.add(names[i], 200, {b, -b, 0, 0});
        auto& point = hand.solved.points[i];
        point.speed = geometry::from_unit(i < 2 ? 3000 : 6000, "rpm");
        point.pressures = {{"plenum", {0.1}, {i % 2 == 0 ? 150e3 : 250e3}, {1e5}, {3e5}}};
    }
    TrimOptions options;
    options.step = 0.0001;
    options.map_speeds = {geometry::from_unit(3000, "rpm"), geometry::from_unit(6000, "rpm")};
    options.map_pressures = {150e3, 250e3};
    const auto map = trim(hand.c, hand.solved, options).map;
    for (std::size_t i = 0; i < 4; ++i) {
        REQUIRE(map[0].trim[i]);
        CHECK(*map[0].trim[i] == near(0.01 * (static_cast<double>(i) + 1), 1e-9));
        CHECK(*map[1].trim[i] == near(-0.01 * (static_cast<double>(i) + 1), 1e-9));
    }
}

TEST_CASE("trim: one stage over its limit is a warning, for no rule keeps another out") {
    HandSolved hand(shipped(hill_climb));
    hand.c.injection->secondary.reset();
    hand.add("A4", 350.5, {3.0, -1.0, -1.0, -1.0});
    const TrimResult r = trim(hand.c, hand.solved, {});
    CHECK(r.errors.empty());
    CHECK(any_has(r.warnings, {"A4: cylinder 1, primary stage", "the cycle is not long enough"}));
    CHECK(any_has(r.warnings, {"A4: cylinder 4, primary stage"}));
}

TEST_CASE("trim: without injectors there are trims and no duty") {
    HandSolved hand(shipped(marine_log));
    hand.c.injection.reset();
    hand.c.fuel.density.reset();
    hand.add("B3", 299.4, six_at_torque);
    const TrimResult r = trim(hand.c, hand.solved, {});
    CHECK_FALSE(r.points[0].cylinders[0].duty_trimmed);
    CHECK(100 * r.points[0].cylinders[4].trim == near(-7.0, 0, 1e-12));
    hand.c.injection = shipped(marine_log).injection;
    CHECK_THROWS_AS((void)trim(hand.c, hand.solved, {}), InputError);
}

TEST_CASE("trim: where no air passes there is nothing to trim") {
    HandSolved hand(shipped(marine_log));
    hand.add("B3", 0, six_at_torque);
    const TrimResult r = trim(hand.c, hand.solved, {});
    CHECK_FALSE(r.points[0].issued);
    CHECK(r.points[0].failure == "no air passes the throttle");
}

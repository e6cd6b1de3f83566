#include <doctest/doctest.h>

#include <cmath>
#include <cstddef>
#include <string>
#include <vector>

#include "cases/study/bands.hpp"
#include "cases/study/compare_curve.hpp"
#include "cases/study/no_slot.hpp"
#include "tests/support/engine.hpp"
#include "tests/support/near.hpp"

// What compare concludes from losses and spreads, on curves made up for it, and what it takes as
// the case without slot.

namespace {

using plenair::CompareCurve;
using plenair::CompareMark;
namespace study = plenair::study;

CompareCurve curve_of(const std::vector<double>& loss, const std::vector<double>& spread) {
    CompareCurve curve;
    curve.point = "P";
    for (std::size_t i = 0; i < loss.size(); ++i) {
        CompareMark mark;
        mark.converged = true;
        mark.loss = loss[i];
        mark.spread = spread[i];
        curve.marks.push_back(mark);
    }
    return curve;
}

/// Best set and knee with a band of a difference in spread.
void mark(CompareCurve& curve, double band = 0) {
    const auto same = [band](std::size_t, std::size_t) { return band; };
    study::mark_best(curve, same);
    study::mark_knee(curve, same);
}

const std::vector<std::string> names{"3 mm", "4 mm", "6 mm", "8 mm"};

}  // namespace

TEST_SUITE("knee") {
    TEST_CASE("compare knee: it is the value farthest below the straight line of the ends") {
        // Scaled: (1, 0), (0.5, 0.1), (0.2, 0.3), (0, 1). Distance from x + y = 1 is
        // (1 - x - y) / sqrt(2).
        auto curve = curve_of({10e3, 6e3, 3.6e3, 2e3}, {0.010, 0.011, 0.013, 0.020});
        mark(curve);
        REQUIRE(curve.knee);
        CHECK(*curve.knee == 2);
        CHECK(*curve.second == 1);
        CHECK(*curve.marks[0].knee_distance == near(0, 0, 1e-12));
        CHECK(*curve.marks[1].knee_distance == near(0.4 / std::sqrt(2.0), 1e-9));
        CHECK(*curve.marks[2].knee_distance == near(0.5 / std::sqrt(2.0), 1e-9));
        CHECK(*curve.marks[3].knee_distance == near(0, 0, 1e-12));
    }

    TEST_CASE("compare knee: units, order and a value that did not converge do not move it") {
        auto curve = curve_of({2, 6, 99, 10, 3.6}, {2.0, 1.1, 9.9, 1.0, 1.3});
        curve.marks[2].converged = false;
        mark(curve);
        REQUIRE(curve.knee);
        CHECK(*curve.knee == 4);
        CHECK_FALSE(curve.marks[2].knee_distance);
    }

    TEST_CASE(
        "compare knee: none with two values, none above the line, none where loss buys nothing") {
        for (auto curve : {curve_of({1, 2}, {2, 1}),
                           curve_of({1, 2, 3}, {3, 2.9, 1}),
                           curve_of({1, 2, 3}, {1, 1.1, 2}),
                           curve_of({1, 2, 3}, {1, 1, 1}),
                           curve_of({1, 1, 1}, {1, 2, 3})}) {
            mark(curve);
            CHECK_FALSE(curve.knee);
        }
    }
}

TEST_SUITE("band") {
    TEST_CASE("compare knee: none where all spreads lie within the band") {
        auto curve = curve_of({10e3, 6e3, 3.6e3, 2e3}, {0.0350, 0.0351, 0.0353, 0.0354});
        mark(curve, 0.005);
        CHECK_FALSE(curve.knee);
        CHECK_FALSE(curve.differs);
        for (std::size_t i = 0; i < 4; ++i) CHECK(curve.marks[i].best == (i == 3));
    }

    TEST_CASE("compare knee: the farthest of all, be its neighbours within the band or not") {
        auto curve =
            curve_of({10e3, 4.1e3, 4.0e3, 3.9e3, 2e3}, {0.010, 0.0118, 0.0121, 0.0125, 0.03});
        mark(curve, 0.005);
        REQUIRE(curve.knee);
        // 1 - x - y of the scaled values is 0.6475, 0.645 and 0.6375.
        CHECK(*curve.knee == 1);
        CHECK(*curve.second == 2);
        CHECK(curve.differs);
    }

    TEST_CASE("compare knee: past the value where narrower stops helping it says so") {
        auto curve = curve_of({10e3, 5e3, 4e3, 3e3, 2e3}, {0.010, 0.0105, 0.011, 0.0145, 0.03});
        const auto same = [](std::size_t, std::size_t) { return 0.005; };
        const std::vector<std::string> values{"3", "4", "5", "6", "8"};
        study::mark_settled(curve, {4, 3, 2, 1, 0}, same);
        REQUIRE(*curve.settled == 3);
        study::mark_knee(curve, same);
        CHECK(*curve.knee == 2);
        CHECK(study::knee_remark(curve, values) == ", within the band of 6");
        curve.knee = 3;
        CHECK(study::knee_remark(curve, values).empty());
    }

    TEST_CASE("compare best set: values within the band of a cheaper one are not in it") {
        auto curve = curve_of({5, 4, 3, 2, 1}, {0.010, 0.014, 0.018, 0.022, 0.024});
        mark(curve, 0.005);
        const std::vector<bool> expected{true, false, true, false, true};
        for (std::size_t i = 0; i < expected.size(); ++i) CHECK(curve.marks[i].best == expected[i]);
    }

    TEST_CASE("compare slot: it harms, or does not help, or helps, and only beyond the band") {
        const auto text_of = [](const std::vector<double>& spread, double without) {
            auto curve = curve_of({10e3, 6e3, 3e3, 2e3}, spread);
            curve.no_slot = CompareMark{};
            curve.no_slot->converged = true;
            curve.no_slot->spread = without;
            return study::slot_verdict_of(curve, names);
        };
        CHECK(text_of({0.098, 0.09, 0.085, 0.083}, 0.05) ==
              "the slot harms at every value: spread 5.0 % without it, 8.3-9.8 % with it");
        CHECK(
            text_of({0.06, 0.051, 0.05, 0.049}, 0.05) ==
            "the slot harms at 3 mm and helps at no value: spread 5.0 % without it, 4.9-6.0 % with "
            "it");
        CHECK(text_of({0.06, 0.051, 0.05, 0.03}, 0.05) ==
              "the slot harms at 3 mm: spread 5.0 % without it, 3.0-6.0 % with it");
        CHECK(text_of({0.052, 0.051, 0.05, 0.049}, 0.05) ==
              "the slot does not help: spread 5.0 % without it, 4.9-5.2 % with it, which cannot be "
              "told apart");
        CHECK(text_of({0.03, 0.03, 0.04, 0.05}, 0.05).empty());
    }
}

TEST_SUITE("best set") {
    TEST_CASE("compare best set: a value with more loss and no less spread is not in it") {
        auto curve = curve_of({4, 3, 2, 2, 1}, {1.0, 1.0, 1.5, 1.4, 2.0});
        mark(curve);
        const std::vector<bool> expected{false, true, false, true, true};
        for (std::size_t i = 0; i < expected.size(); ++i) {
            CAPTURE(i);
            CHECK(curve.marks[i].best == expected[i]);
        }
    }
}

TEST_SUITE("narrower will not help") {
    TEST_CASE("compare verdict: it begins where no narrower value gains more than the band") {
        auto curve = curve_of({10e3, 6e3, 3e3, 2e3}, {0.010, 0.012, 0.014, 0.025});
        const std::vector<std::size_t> order{3, 2, 1, 0};
        study::mark_settled(curve, order, [](std::size_t, std::size_t) { return 0.005; });
        REQUIRE(curve.settled);
        CHECK(*curve.settled == 2);
        const auto text = study::verdict_of(curve, order, true, plenair::CompareCost::slot, names);
        CHECK(text.starts_with("narrower will not help below 6 mm: from 6 mm to 3 mm"));
    }

    TEST_CASE("compare verdict: with a small band every step helps, with a large one none") {
        auto curve = curve_of({10e3, 6e3, 3e3, 2e3}, {0.020, 0.022, 0.024, 0.026});
        const std::vector<std::size_t> order{3, 2, 1, 0};
        auto fine = curve;
        study::mark_settled(fine, order, [](std::size_t, std::size_t) { return 0.001; });
        CHECK(study::verdict_of(fine, order, true, plenair::CompareCost::slot, names) ==
              "narrower still helps at 3 mm, the last value");
        study::mark_settled(curve, order, [](std::size_t, std::size_t) { return 0.010; });
        const auto text = study::verdict_of(curve, order, true, plenair::CompareCost::slot, names);
        CHECK(text.starts_with("narrower will not help here"));
        CHECK(text.ends_with("the rest is wave action behind the slot"));
    }

    TEST_CASE("compare verdict: where the spread rises it does not say that it falls") {
        const std::vector<std::size_t> order{3, 2, 1, 0};
        const auto text_of = [&](const std::vector<double>& spread) {
            auto curve = curve_of({10e3, 6e3, 3e3, 2e3}, spread);
            study::mark_settled(curve, order, [](std::size_t, std::size_t) { return 0.005; });
            return study::verdict_of(curve, order, true, plenair::CompareCost::slot, names);
        };
        const std::string lead = "narrower will not help here: from 8 mm to 3 mm the spread ";
        const std::string end = "; the rest is wave action behind the slot";
        CHECK(text_of({0.044, 0.041, 0.038, 0.036}) ==
              lead + "does not fall, 3.6 % at 8 mm and 4.4 % at 3 mm" + end);
        CHECK(text_of({0.044, 0.041, 0.034, 0.036}) ==
              lead + "is 3.4-4.4 %, and no value lowers it by more than its band of +/-0.5 %" +
                  end);
        CHECK(text_of({0.033, 0.034, 0.034, 0.036}) ==
              lead + "is 3.3-3.6 % and falls by less than its band of +/-0.5 %" + end);
    }

    TEST_CASE("compare band: what moves both variants alike leaves their difference alone") {
        const plenair::MovedSpreads first{{0.010, 0.020}, {0.015, 0.016}};
        const plenair::MovedSpreads alike{{0.012, 0.022}, {0.017, 0.018}};
        CHECK(plenair::difference_band(0.015, first, 0.017, alike) == near(0, 0, 1e-15));
        // The differences move by 0.003 and 0.004 at most: 0.005 together.
        const plenair::MovedSpreads other{{0.009, 0.022}, {0.013, 0.018}};
        CHECK(plenair::difference_band(0.015, first, 0.017, other) == near(0.005, 1e-9));
    }
}

TEST_SUITE("no slot") {
    TEST_CASE("compare no slot: one plenum with the volume of both, fed by the same throttle") {
        const auto c = plenair::test::shipped(plenair::test::hill_climb);
        const auto& before = c.intake.banks.front();
        REQUIRE(study::has_slot(c.intake));
        const auto intake = study::without_slot(c.intake);
        const auto& bank = intake.banks.front();
        CHECK_FALSE(study::has_slot(intake));
        CHECK_FALSE(bank.pre_chamber);
        CHECK_FALSE(bank.slot);
        CHECK(bank.plenum->volume() ==
              near(before.pre_chamber->volume() + before.plenum->volume(), 1e-12));
        CHECK(bank.plenum->area.at(0.1) ==
              near(before.pre_chamber->area.at(0.1) + before.plenum->area.at(0.1), 1e-12));
        CHECK(bank.throttles.front().feeds == plenair::geometry::FeedTarget::plenum);
        CHECK(bank.runners.size() == before.runners.size());
    }

    TEST_CASE("compare no slot: chambers of two lengths keep their volume, up to the step") {
        auto c = plenair::test::shipped(plenair::test::hill_climb);
        auto& bank = c.intake.banks.front();
        bank.pre_chamber->length = 0.3;
        const auto joined = study::without_slot(c.intake).banks.front().plenum;
        // The shorter chamber ends over 0.1 mm: half of that beyond its length.
        const double step = 0.5 * 1e-4 * bank.pre_chamber->area.at(0.3);
        CHECK(joined->volume() ==
              near(bank.pre_chamber->volume() + bank.plenum->volume() + step, 1e-9));
    }

    TEST_CASE("compare no slot: a log plenum is left alone") {
        const auto c = plenair::test::shipped(plenair::test::marine_log);
        CHECK_FALSE(study::has_slot(c.intake));
        CHECK(study::without_slot(c.intake).banks.front().plenum->length ==
              c.intake.banks.front().plenum->length);
    }
}

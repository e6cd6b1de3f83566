#include "geometry/places.hpp"
#include "geometry/quantity.hpp"

#include <doctest/doctest.h>

using namespace plenair::geometry;

namespace {

/// A bank with mouths at these places, and what feeds its pre-chamber.
Bank bank_of(const std::vector<double>& x,
             const std::vector<int>& cylinders,
             const std::vector<FeedPosition>& feeds) {
    Bank bank;
    for (const double place : x) {
        Runner runner;
        runner.x = place;
        bank.runners.push_back(runner);
    }
    bank.cylinders = cylinders;
    bank.pre_chamber = Chamber{};
    bank.plenum = Chamber{};
    for (const auto feed : feeds) {
        Throttle throttle;
        throttle.position = feed;
        throttle.x = 0.165;
        bank.throttles.push_back(throttle);
    }
    return bank;
}

const std::vector<double> four{0.05, 0.15, 0.25, 0.35};

}  // namespace

TEST_CASE("places: a row goes by rising x, whatever the numbers and the order of the list") {
    const Row row = row_of(bank_of({0.35, 0.05, 0.25, 0.15}, {3, 7, 1, 9}, {}));
    CHECK(row.cylinders == std::vector<int>{7, 9, 1, 3});
    CHECK(row.first == std::vector<int>{7});
    CHECK(row.last == std::vector<int>{3});
    CHECK(end_bias_words(row) == "cylinder 3 at the far end minus cylinder 7 at x = 0");
}

TEST_CASE("places: mouths side by side are ends together; one place has no ends") {
    const Row pairs = row_of(bank_of({0.05, 0.25, 0.05, 0.25}, {}, {}));
    CHECK(end_bias_words(pairs) ==
          "cylinders 2 and 4 at the far end minus cylinders 1 and 3 at x = 0");
    const Row one = row_of(bank_of({0.1}, {5}, {}));
    CHECK(one.cylinders == std::vector<int>{5});
    CHECK(end_bias_words(one).empty());
    CHECK(end_bias_words(row_of(bank_of({0.1, 0.1}, {1, 2}, {}))).empty());
}

TEST_CASE("places: a feed is called by where it stands") {
    using enum FeedPosition;
    CHECK(feed_words(bank_of(four, {}, {start})) == "the throttle feeds the pre-chamber at x = 0");
    CHECK(feed_words(bank_of(four, {}, {end})) ==
          "the throttle feeds the pre-chamber at the far end");
    CHECK(feed_words(bank_of(four, {}, {side})) ==
          "the throttle feeds the pre-chamber through the side wall at x " +
              format_quantity(0.165, Dimension::length));
    const OutputUnits inch{UnitSystem::inch};
    CHECK(feed_words(bank_of(four, {}, {side}), inch) ==
          "the throttle feeds the pre-chamber through the side wall at x " +
              format_quantity(0.165, Dimension::length, PressureKind::absolute, inch));
    CHECK(format_quantity(0.165, Dimension::length, PressureKind::absolute, inch)
              .starts_with("6.4961 in (165 mm"));
    CHECK(feed_words(bank_of(four, {}, {start, end})) ==
          "throttle 1 feeds the pre-chamber at x = 0, throttle 2 the pre-chamber at the far end");
    Bank log = bank_of(four, {}, {start});
    log.pre_chamber.reset();
    CHECK(feed_words(log) == "the throttle feeds the plenum at x = 0");
    Bank rig = bank_of(four, {}, {});
    rig.pre_chamber->open_end = true;
    CHECK(feed_words(rig) == "the pre-chamber is open at the far end");
}

TEST_CASE("places: only a header that is fed at one end wall has a fed end and a closed one") {
    using enum FeedPosition;
    CHECK(feed_end(bank_of(four, {}, {start})) == FeedEnd::start);
    CHECK(feed_end(bank_of(four, {}, {end})) == FeedEnd::far);
    CHECK(feed_end(bank_of(four, {}, {start, start})) == FeedEnd::start);
    CHECK(feed_end(bank_of(four, {}, {side})) == FeedEnd::none);
    CHECK(feed_end(bank_of(four, {}, {start, end})) == FeedEnd::none);
    CHECK(feed_end(bank_of(four, {}, {})) == FeedEnd::none);
    Bank into_plenum = bank_of(four, {}, {start});
    into_plenum.throttles[0].feeds = FeedTarget::plenum;
    CHECK(feed_end(into_plenum) == FeedEnd::none);
}

TEST_CASE("places: banks have their names, and none where there is one") {
    Intake intake;
    intake.banks = {bank_of(four, {1, 3, 5, 7}, {FeedPosition::start})};
    intake.banks[0].name = "left";
    CHECK(bank_name(intake, 0).empty());
    intake.banks.push_back(bank_of(four, {2, 4, 6, 8}, {FeedPosition::end}));
    CHECK(bank_words(bank_name(intake, 0)) == "bank left");
    CHECK(bank_words(bank_name(intake, 1)) == "bank 2");
    CHECK(chamber_name(bank_name(intake, 0), ChamberKind::pre_chamber) == "left pre-chamber");
    CHECK(chamber_name("", ChamberKind::plenum) == "plenum");
    for (const std::string name : {"plenum side", "plenum", "left", ""}) {
        CHECK(is_plenum(chamber_name(name, ChamberKind::plenum)));
        CHECK_FALSE(is_plenum(chamber_name(name, ChamberKind::pre_chamber)));
    }
    CHECK(feed_words(intake) ==
          "left: the throttle feeds the pre-chamber at x = 0; bank 2: the throttle feeds the "
          "pre-chamber at the far end");
    intake.banks[1].throttles = intake.banks[0].throttles;
    CHECK(feed_words(intake) == "in every bank the throttle feeds the pre-chamber at x = 0");
}

#include "cases/live/controls.hpp"
#include "tests/support/layouts.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <fmt/format.h>

/// What the working model of a report lets a reader move where the case has several banks.

using namespace plenair;

namespace {

const LiveEntry* entry_of(const std::vector<LiveEntry>& entries, const std::string& key) {
    const auto found = std::find_if(
        entries.begin(), entries.end(), [&](const auto& entry) { return entry.key == key; });
    return found == entries.end() ? nullptr : &*found;
}

}  // namespace

TEST_CASE("sliders: what is equal in both banks moves in both, under one slider") {
    const Case c = test::layout("v12-two-banks");
    const auto entries = live_entries(c);
    for (const auto& entry : entries)
        CHECK_FALSE_MESSAGE(entry.key.starts_with("bank."), entry.key);
    const auto* land = entry_of(entries, "slot.land");
    REQUIRE(land != nullptr);
    CHECK(land->numbers.front().label == "Land in both banks");
    const Case moved = parse_case(c.text, c.path, {"slot.land=7 mm"});
    for (const auto& bank : moved.intake.banks) CHECK(bank.slot->land == 0.007);
}

TEST_CASE("sliders: what differs between the banks moves bank by bank, the rest together") {
    const Case c = test::layout("v8-opposed");  // two slot widths, chambers that taper either way
    const auto entries = live_entries(c);
    CHECK(entry_of(entries, "slot.width") == nullptr);
    for (const std::string name : {"left", "right"}) {
        const auto* width = entry_of(entries, fmt::format("bank.{}.slot.width", name));
        REQUIRE(width != nullptr);
        CHECK(has(width->numbers.front().label, "Slot width of bank " + name));
        CHECK(entry_of(entries, fmt::format("bank.{}.plenum.area", name)) == nullptr);
    }
    CHECK(entry_of(entries, "plenum.area") != nullptr);
    CHECK(entry_of(entries, "throttle.bore") != nullptr);
    CHECK(entry_of(entries, "runner.length") != nullptr);
}

TEST_CASE("sliders: a case of one bank has no bank in their names") {
    for (const std::string name : {"five-side", "eight-numbered-back"}) {
        for (const auto& entry : live_entries(test::layout(name))) {
            for (const auto& number : entry.numbers) CHECK_FALSE(has(number.label, "bank"));
        }
    }
}

#include "cases/file/build.hpp"
#include "cases/file/build_measured.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace plenair::file {
namespace {

/// Whether there is one number for each place; reports it where there is not.
bool one_a_place(const Value& values, std::size_t places, MeasuredContext& context) {
    if (values.numbers.size() != places) {
        refuse(context.messages,
               values,
               fmt::format(
                   "{} of them at {} places; give one a place", values.numbers.size(), places));
    }
    return values.numbers.size() == places;
}

/// Whether the slot of the bank on the bench is open at x.
bool open_at(const geometry::Slot& slot, double x) {
    constexpr double rounding = 1e-6;
    return std::any_of(slot.pieces.begin(),
                       slot.pieces.end(),
                       [&](const auto& piece) {
                           return x >= piece.x - rounding && x <= piece.x + piece.length + rounding;
                       }) ||
           std::any_of(slot.holes.begin(), slot.holes.end(), [&](const auto& hole) {
               return std::abs(x - hole.x) <= 0.5 * hole.length + rounding;
           });
}

/// Where something was read, and what.
struct PlacesAndValues {
    const Value *places = nullptr, *values = nullptr;
};

/// Both lists, or neither; false where they do not go together.
bool read_lists(const Scope& scope,
                const std::string& places,
                const std::string& values,
                PlacesAndValues& lists,
                MeasuredContext& context) {
    const std::string table = "bench.";
    lists = {scope.find(table + places), scope.find(table + values)};
    if (!lists.places != !lists.values) {
        refuse(context.messages,
               lists.places ? *lists.places : *lists.values,
               fmt::format("{} and {} go together; write both or neither", places, values));
        return false;
    }
    return !lists.places || (scope.good(table + places) && scope.good(table + values));
}

bool read_stations(const Scope& scope, BenchReading& reading, MeasuredContext& context) {
    PlacesAndValues lists;
    if (!read_lists(scope, "stations", "station_flows", lists, context)) {
        return false;
    }
    const auto& [places, flows] = lists;
    if (!places) {
        return true;
    }
    if (reading.set_up != BenchSetUp::slot) {
        refuse(context.messages, *places, "only with set_up = \"slot\"; remove it");
        return false;
    }
    reading.station_x = places->numbers;
    reading.station_flow = flows->numbers;
    if (reading.station_x.size() < 2) {
        refuse(
            context.messages, *places, "one station has no mean to compare with; give two or more");
        return false;
    }
    if (!one_a_place(*flows, reading.station_x.size(), context)) {
        return false;
    }
    const auto& slot = *context.c.intake.banks[reading.bank.value_or(0)].slot;
    for (const double x : reading.station_x) {
        if (!open_at(slot, x)) {
            refuse(context.messages,
                   *places,
                   fmt::format("the slot is closed at x {}; give stations inside its openings",
                               geometry::format_as(x, "mm", 1, context.c.units)));
            return false;
        }
    }
    const double mean =
        std::accumulate(reading.station_flow.begin(), reading.station_flow.end(), 0.0) /
        static_cast<double>(reading.station_flow.size());
    for (double& flow : reading.station_flow) {
        flow /= mean;
    }
    return true;
}

bool read_taps(const Scope& scope, BenchReading& reading, MeasuredContext& context) {
    PlacesAndValues lists;
    if (!read_lists(scope, "taps", "tap_pressures", lists, context)) {
        return false;
    }
    const auto& [places, drops] = lists;
    if (!places) {
        return true;
    }
    const auto& bank = context.c.intake.banks[reading.bank.value_or(0)];
    const auto& header = bank.pre_chamber ? bank.pre_chamber : bank.plenum;
    if (!header) {
        refuse(context.messages,
               *places,
               "neither pre-chamber nor plenum in the case; remove taps and tap_pressures");
        return false;
    }
    reading.tap_x = places->numbers;
    reading.tap_drop = drops->numbers;
    if (!one_a_place(*drops, reading.tap_x.size(), context)) {
        return false;
    }
    for (const double x : reading.tap_x) {
        if (x > header->length) {
            refuse(context.messages,
                   *places,
                   fmt::format("the {} ends at x {}; give taps inside it",
                               bank.pre_chamber ? "pre-chamber" : "plenum",
                               geometry::format_as(header->length, "mm", 1, context.c.units)));
            return false;
        }
    }
    return true;
}

}  // namespace

bool build_bench_stations(const Scope& scope, BenchReading& reading, MeasuredContext& context) {
    if (!read_stations(scope, reading, context) || !read_taps(scope, reading, context)) {
        return false;
    }
    if (!reading.station_x.empty()) {
        const auto half = scope.maybe("bench.station_uncertainty");
        reading.station_uncertainty = half.value_or(usual::station_flow);
        if (!half) {
            note_default(context, reading.name + ", flow at a station", "2 % of the mean");
        }
    }
    if (!reading.tap_x.empty()) {
        const auto half = scope.maybe("bench.tap_uncertainty");
        reading.tap_uncertainty = half.value_or(usual::tap * reading.depression);
        if (!half) {
            note_default(context, reading.name + ", pressure of a tap", "1 % of the depression");
        }
    }
    return true;
}

}  // namespace plenair::file

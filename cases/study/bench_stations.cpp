#include "cases/study/bench_stations.hpp"

#include "cases/study/bench_compare.hpp"
#include "geometry/profile.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace plenair {

namespace {

using geometry::Profile;

/// Hole of a slot whose centre is nearest to x.
std::size_t hole_at(const geometry::Slot& slot, double x) {
    const auto nearest =
        std::min_element(slot.holes.begin(), slot.holes.end(), [x](const auto& a, const auto& b) {
            return std::abs(a.x - x) < std::abs(b.x - x);
        });
    return static_cast<std::size_t>(nearest - slot.holes.begin());
}

void add_stations(const Moved& v,
                  const BenchReading& reading,
                  const BenchResult& r,
                  std::vector<double>& numbers) {
    if (reading.station_x.empty()) {
        return;
    }
    const auto& slot = *v.intake.banks[reading.bank.value_or(0)].slot;
    std::vector<double> flow;
    for (const double x : reading.station_x) {
        flow.push_back(slot.holes.empty() ? Profile::stations(r.x, r.flow_per_length).at(x)
                                          : r.hole_flow.at(hole_at(slot, x)));
    }
    const double mean =
        std::accumulate(flow.begin(), flow.end(), 0.0) / static_cast<double>(flow.size());
    for (const double f : flow) {
        numbers.push_back(f / mean);
    }
}

/// Place of the number that is farthest from what is predicted, among `count` from `first`.
std::size_t farthest(const std::vector<double>& read,
                     const std::vector<double>& predicted,
                     std::size_t first) {
    std::size_t worst = 0;
    for (std::size_t i = 1; i < read.size(); ++i) {
        if (std::abs(read[i] - predicted[first + i]) >
            std::abs(read[worst] - predicted[first + worst])) {
            worst = i;
        }
    }
    return worst;
}

}  // namespace

std::vector<double> bench_numbers(const Moved& v, const BenchReading& reading) {
    return bench_numbers(v, reading, predict(v, reading));
}

std::vector<double> bench_numbers(const Moved& v,
                                  const BenchReading& reading,
                                  const BenchResult& r) {
    if (!r.converged) {
        return std::vector<double>(reading.count(), std::numeric_limits<double>::quiet_NaN());
    }
    std::vector<double> numbers{r.flow};
    add_stations(v, reading, r, numbers);
    for (const double x : reading.tap_x) {
        numbers.push_back(reading.barometer -
                          Profile::stations(r.pressure_x, r.static_pressure).at(x));
    }
    return numbers;
}

std::vector<std::string> station_remarks(const BenchReading& reading,
                                         const std::vector<double>& predicted,
                                         const geometry::OutputUnits& units) {
    std::vector<std::string> remarks;
    if (!reading.station_x.empty()) {
        const std::size_t i = farthest(reading.station_flow, predicted, 1);
        const double off = reading.station_flow[i] - predicted[1 + i];
        remarks.push_back(fmt::format(
            "flow at {} stations: farthest off at x {}, {:.1f} % of the mean {} the prediction "
            "(a reading is known to +/-{:.1f} %)",
            reading.station_x.size(),
            geometry::format_as(reading.station_x[i], "mm", 1, units),
            100 * std::abs(off),
            off < 0 ? "below" : "above",
            100 * reading.station_uncertainty));
    }
    if (!reading.tap_x.empty()) {
        const std::size_t first = 1 + reading.station_x.size();
        const std::size_t i = farthest(reading.tap_drop, predicted, first);
        remarks.push_back(
            fmt::format("pressure at {} taps: farthest off at x {}, {:.1f} Pa below the room where "
                        "{:.1f} Pa are "
                        "predicted (a reading is known to +/-{:.1f} Pa)",
                        reading.tap_x.size(),
                        geometry::format_as(reading.tap_x[i], "mm", 1, units),
                        reading.tap_drop[i],
                        predicted[first + i],
                        reading.tap_uncertainty));
    }
    return remarks;
}

}  // namespace plenair

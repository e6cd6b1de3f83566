#pragma once

#include "cases/file/read.hpp"
#include "cases/study/case.hpp"
#include "solver/march/cycle.hpp"

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <numbers>
#include <string>
#include <vector>

namespace plenair::test {

inline const std::string hill_climb = "hill-climb-four/case.toml";
inline const std::string marine_log = "marine-six/log.toml";
inline const std::string v6_bank = "v6-bank/case.toml";

/// A case that comes with plenair, by its place under cases/shipped.
inline Case shipped(const std::string& name, const std::vector<std::string>& sets = {}) {
    return read_case(std::string(PLENAIR_SOURCE_DIR) + "/cases/shipped/" + name, sets);
}

/// The operating point of a name.
inline const OperatingPoint& point_of(const Case& c, const std::string& name) {
    return *std::find_if(
        c.points.begin(), c.points.end(), [&](const auto& p) { return p.name == name; });
}

inline PointResult solve_named(const Case& c, const std::string& name) {
    return solve_point(c.intake, c.engine, point_of(c, name), c.model, {});
}

/// The intake with one plenum alone, fed by its throttle at the wall of cylinder 1.
inline void make_log_plenum(geometry::Intake& intake) {
    geometry::Bank& bank = intake.banks.front();
    bank.pre_chamber.reset();
    bank.slot.reset();
    for (auto& throttle : bank.throttles) {
        throttle.feeds = geometry::FeedTarget::plenum;
        throttle.position = geometry::FeedPosition::start;
    }
}

/// The same with the throttle through the side of the plenum at its middle.
inline void make_centre_fed_plenum(geometry::Intake& intake) {
    make_log_plenum(intake);
    geometry::Bank& bank = intake.banks.front();
    for (auto& throttle : bank.throttles) {
        throttle.position = geometry::FeedPosition::side;
        throttle.x = 0.5 * bank.plenum->length;
    }
}

/// One outside check for docs/validation.md: appended as a line of tab-separated text to the file
/// that PLENAIR_RECORD names, so that the page shows what the tests saw and nothing else.
inline void record(const std::string& check,
                   const std::string& source,
                   double ours,
                   double theirs,
                   const std::string& tolerance) {
    if (const char* path = std::getenv("PLENAIR_RECORD")) {
        std::ofstream file(path, std::ios::app);
        file.precision(7);
        file << check << '\t' << source << '\t' << ours << '\t' << theirs << '\t' << tolerance
             << '\n';
    }
}

inline double rpm(double speed) {
    return speed * 30.0 / std::numbers::pi;
}
inline double per_second(double speed_rpm) {
    return speed_rpm * std::numbers::pi / 30.0;
}

}  // namespace plenair::test

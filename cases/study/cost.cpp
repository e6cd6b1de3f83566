#include "cases/study/cost.hpp"

#include "cases/base/parallel.hpp"
#include "cases/study/case.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace plenair {

namespace {

/// Below this nobody has to be told.
constexpr double worth_saying = 10;

std::string spoken(double seconds) {
    constexpr double minute = 60;
    constexpr double hour = 3600;
    if (seconds < 2 * minute) {
        return fmt::format("{:.2g} s", seconds);
    }
    return seconds < 2 * hour ? fmt::format("{:.2g} min", seconds / minute)
                              : fmt::format("{:.2g} h", seconds / hour);
}

std::string described(const OperatingPoint& point,
                      const Cost& cost,
                      const geometry::OutputUnits& units) {
    auto text = fmt::format("point '{}' ({} rpm, {:.0f} steps a cycle, by {}",
                            point.name,
                            geometry::format_in(point.speed, "rpm", 4),
                            cost.steps,
                            cost.finest);
    if (cost.finest_cell > 0) {
        text += " with cells of " + geometry::format_limit(cost.finest_cell, units);
    }
    return text + ")";
}

}  // namespace

TooCostly too_costly(const Case& c, const OperatingPoint& point) {
    return too_costly(c.intake, c.engine, point, c.model);
}

ExpectedWork expected_work(std::span<const Case* const> cases, double solutions, int threads) {
    ExpectedWork work;
    double longest = 0;
    double jobs = 0;
    for (const Case* c : cases) {
        for (const OperatingPoint& point : c->points) {
            const Cost cost = point_cost(c->intake, c->engine, point, c->model);
            work.seconds += solutions * cost.seconds;
            ++jobs;
            if (cost.seconds > longest) {
                longest = cost.seconds;
                work.longest = described(point, cost, c->units);
            }
        }
    }
    const double side_by_side = std::min(jobs, static_cast<double>(threads_of(threads)));
    // The longest job keeps its thread, however many there are.
    work.seconds = std::max(work.seconds / std::max(side_by_side, 1.0), solutions * longest);
    return work;
}

std::string work_text(const ExpectedWork& work) {
    return work.seconds < worth_saying
               ? std::string()
               : fmt::format("about {}, most of it {}", spoken(work.seconds), work.longest);
}

}  // namespace plenair

#include "cases/study/taps.hpp"

#include "cases/study/traces.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"
#include "solver/march/trace_places.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace plenair {

namespace {

/// Mean of a pressure while a cylinder draws; 0 where it never does.
double while_drawing(const Trace& pressure, const Trace& flow) {
    double sum = 0;
    double weight = 0;
    for (std::size_t i = 0; i < std::min(pressure.value.size(), flow.value.size()); ++i) {
        const double drawn = std::max(flow.value[i], 0.0);
        sum += drawn * pressure.value[i];
        weight += drawn;
    }
    return weight > 0 ? sum / weight : 0;
}

/// One place of one bank at all points; without points where a trace is missing.
TapPlace tap_place(const TracePlace& place,
                   const std::string& part,
                   const TapChoice& choice,
                   const std::vector<const PointResult*>& points) {
    TapPlace found;
    for (const PointResult* point : points) {
        const Trace* pressure = trace_of(*point, pressure_trace(part, place), 0);
        const auto profile = std::find_if(point->pressures.begin(),
                                          point->pressures.end(),
                                          [&](const auto& p) { return p.part == part; });
        if (pressure == nullptr || profile == point->pressures.end()) {
            return {};
        }
        found.x = profile->x[place.cell(profile->x.size())];
        auto& means = found.drawing_pressure.emplace_back();
        for (const int cylinder : choice.cylinders) {
            const Trace* flow = trace_of(*point, "intake_valve_flow", cylinder);
            means.push_back(flow == nullptr ? 0.0 : while_drawing(*pressure, *flow));
        }
        const auto [least, most] = std::minmax_element(means.begin(), means.end());
        found.unlike.push_back(*most - *least);
    }
    return found;
}

double average(const std::vector<double>& values) {
    return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

}  // namespace

bool in_bell_mouth(const geometry::Bank& bank, double x) {
    return std::any_of(bank.runners.begin(), bank.runners.end(), [x](const auto& runner) {
        return std::abs(x - runner.x) < 0.5 * runner.mouth_diameter() + runner.bell_radius;
    });
}

std::vector<TapChoice> choose_taps(const geometry::Intake& intake,
                                   const std::vector<const PointResult*>& points,
                                   const geometry::OutputUnits& units) {
    std::vector<TapChoice> choices;
    for (std::size_t b = 0; b < intake.banks.size(); ++b) {
        const auto& bank = intake.banks[b];
        TapChoice choice;
        choice.bank = geometry::bank_name(intake, b);
        choice.cylinders = geometry::row_of(bank).cylinders;
        if (!bank.plenum || choice.cylinders.size() < 2 || points.empty()) {
            continue;
        }
        for (const PointResult* point : points) {
            choice.points.push_back(point->name);
        }
        const std::string part = geometry::chamber_name(choice.bank, geometry::ChamberKind::plenum);
        for (const auto& place : trace_places) {
            auto found = tap_place(place, part, choice, points);
            const bool twice =
                !choice.places.empty() && std::abs(choice.places.back().x - found.x) < 1e-9;
            if (!found.unlike.empty() && !twice) {
                found.in_mouth = in_bell_mouth(bank, found.x);
                choice.places.push_back(std::move(found));
            }
        }
        if (choice.places.empty()) {
            continue;
        }
        const auto worse = [](const TapPlace& p) {
            return std::pair(p.in_mouth, average(p.unlike));
        };
        const auto by = [&](const TapPlace& a, const TapPlace& c) { return worse(a) < worse(c); };
        const auto best = std::min_element(choice.places.begin(), choice.places.end(), by);
        const auto worst = std::max_element(
            choice.places.begin(), choice.places.end(), [](const auto& a, const auto& c) {
                return average(a.unlike) < average(c.unlike);
            });
        choice.best = static_cast<std::size_t>(best - choice.places.begin());
        const auto kilopascal = [](const TapPlace& p) {
            return geometry::format_fixed(average(p.unlike), "kPa", 2);
        };
        choice.words = fmt::format(
            "{}pressure tap of the plenum at x {}: while they draw, the cylinders see the same "
            "pressure there within {} (mean of the points), within {} at x {}{}",
            geometry::bank_prefix(choice.bank),
            geometry::format_as(best->x, "mm", 0, units),
            kilopascal(*best),
            kilopascal(*worst),
            geometry::format_as(worst->x, "mm", 0, units),
            best->in_mouth ? "; all five places lie in bell mouths: put it into a side wall" : "");
        choices.push_back(std::move(choice));
    }
    return choices;
}

}  // namespace plenair

#include "cases/report/html/parts.hpp"
#include "cases/report/json/tools.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/study/traces.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <utility>

namespace plenair::html {

namespace {

using geometry::to_unit;

constexpr double cycle = 4 * std::numbers::pi;
constexpr int trace_samples = 361;  // every 2 degrees of 720, both ends

/// Rounded for drawing; null where it is not finite.
Json drawn(double value, double step) {
    return json_number(std::round(value / step) / std::round(1 / step));
}

Json drawn(const std::vector<double>& values, const char* unit, double step) {
    Json array = Json::array();
    for (const double value : values) array.push_back(drawn(to_unit(value, unit), step));
    return array;
}

/// Samples of one cycle in ascending angle [rad], 0 <= angle < 4 pi.
struct Cycle {
    std::vector<double> angle;
    std::vector<std::size_t> order;
};

Cycle sorted_cycle(const std::vector<double>& crank_angle) {
    Cycle sorted;
    std::vector<double> wrapped;
    for (const double angle : crank_angle) {
        wrapped.push_back(angle - cycle * std::floor(angle / cycle));
    }
    sorted.order.resize(wrapped.size());
    std::iota(sorted.order.begin(), sorted.order.end(), std::size_t{0});
    std::stable_sort(sorted.order.begin(), sorted.order.end(), [&wrapped](auto a, auto b) {
        return wrapped[a] < wrapped[b];
    });
    for (const auto i : sorted.order) sorted.angle.push_back(wrapped[i]);
    return sorted;
}

/// Value every 2 degrees by straight lines between the samples; the cycle closes on itself.
std::vector<double> resampled(const Cycle& c, const std::vector<double>& value) {
    const std::size_t n = c.order.size();
    std::vector<double> out;
    for (int s = 0; s < trace_samples; ++s) {
        const double at = s == trace_samples - 1 ? 0.0 : cycle * s / (trace_samples - 1);
        const auto next = static_cast<std::size_t>(
            std::upper_bound(c.angle.begin(), c.angle.end(), at) - c.angle.begin());
        const std::size_t right = next % n, left = (next + n - 1) % n;
        const double from = next == 0 ? c.angle[left] - cycle : c.angle[left];
        const double to = next == n ? c.angle[right] + cycle : c.angle[right];
        const double part = to > from ? (at - from) / (to - from) : 0.0;
        const double a = value[c.order[left]], b = value[c.order[right]];
        out.push_back(a + part * (b - a));
    }
    return out;
}

/// How many steps of the page's numbers are in the unit: pressures in 0.01 kPa, others in 0.1.
constexpr int pressure_steps = 100, other_steps = 10;

/// A curve as whole steps, each less the one before it: a third of the length of its decimals.
Json changes(const std::vector<double>& values, double unit, int steps) {
    Json array = Json::array();
    long long last = 0;
    for (const double value : values) {
        const auto at = std::llround(value / unit * steps);
        array.push_back(at - last);
        last = at;
    }
    return array;
}

/// What the view over crank angle draws; other traces stand in the result's file alone.
void add_traces(Json& json, const PointResult& point) {
    if (point.traces.empty() || point.crank_angle.size() < 2) return;
    const Cycle c = sorted_cycle(point.crank_angle);
    Json list = Json::array();
    const auto add = [&](const Trace* trace, double unit, int steps, Json what) {
        if (trace == nullptr || trace->value.size() != point.crank_angle.size() ||
            !std::all_of(trace->value.begin(), trace->value.end(), [](double value) {
                return std::isfinite(value);
            })) {
            return;
        }
        what["steps_per_unit"] = steps;
        what["changes"] = changes(resampled(c, trace->value), unit, steps);
        list.push_back(std::move(what));
    };
    for (const auto& [quantity, unit] :
         {std::pair("intake_valve_flow", 0.001), std::pair("runner_mouth_velocity", 1.0)}) {
        for (std::size_t i = 1; i <= point.cylinders.size(); ++i) {
            const int cylinder = static_cast<int>(i);
            add(trace_of(point, quantity, cylinder),
                unit,
                other_steps,
                {{"quantity", quantity}, {"cylinder", cylinder}});
        }
    }
    for (const auto& [trace, chamber, place] : plenum_traces(point)) {
        if (place == "start" || place == "middle" || place == "end") {
            add(trace,
                1000,
                pressure_steps,
                {{"quantity", "plenum_pressure"}, {"part", chamber}, {"place", place}});
        }
    }
    json["traces"] = std::move(list);
}

/// Places along x in the unit of the case, to a tenth of a millimetre.
struct Along {
    std::string unit;
    double step = 0.1;
    explicit Along(const geometry::OutputUnits& units)
        : unit(units.in_place_of("mm")), step(units.inches() ? 0.005 : 0.1) {}
};

void add_profiles(Json& json, const PointResult& point, const Along& along) {
    for (const auto& p : point.pressures) {
        json["pressures"].push_back({{"part", p.part},
                                     {"unit", along.unit},
                                     {"x", drawn(p.x, along.unit.c_str(), along.step)},
                                     {"mean", drawn(p.mean, "kPa", 0.001)},
                                     {"low", drawn(p.low, "kPa", 0.001)},
                                     {"high", drawn(p.high, "kPa", 0.001)}});
    }
    for (const auto& slot : point.slots) {
        const double sum =
            std::accumulate(slot.flow_per_length.begin(), slot.flow_per_length.end(), 0.0);
        Json flow = Json::array();
        for (const double value : slot.flow_per_length) {
            flow.push_back(
                drawn(value * static_cast<double>(slot.flow_per_length.size()) / sum, 0.0001));
        }
        json["slots"].push_back({{"bank", slot.bank},
                                 {"unit", along.unit},
                                 {"x", drawn(slot.x, along.unit.c_str(), along.step)},
                                 {"flow", std::move(flow)}});
    }
}

Json point_json(const PointResult& point, bool telling, const Along& along) {
    Json json = {{"name", point.name},
                 {"rpm", drawn(to_unit(point.speed, "rpm"), 0.1)},
                 {"kpa", drawn(to_unit(point.source_pressure, "kPa"), 0.1)},
                 {"converged", point.converged}};
    if (!point.converged) return json;
    json["band"] = drawn(percent(least_difference(point)), 0.01);
    json["spread"] = drawn(percent(point.spread), 0.01);
    json["cylinders"] = Json::array();
    for (const auto& c : point.cylinders) {
        json["cylinders"].push_back({{"number", c.cylinder},
                                     {"fires", c.firing_position},
                                     {"bias", drawn(percent(c.bias), 0.01)}});
    }
    json["pressures"] = Json::array();
    json["slots"] = Json::array();
    if (telling) {
        add_profiles(json, point, along);
        add_traces(json, point);
    }
    return json;
}

/// Places of the runners along x, for marks on the charts.
Json runners_json(const Case& design) {
    const Along along(design.units);
    Json list = Json::array();
    for (std::size_t b = 0; b < design.intake.banks.size(); ++b) {
        const auto& bank = design.intake.banks[b];
        for (std::size_t i = 0; i < bank.runners.size(); ++i) {
            list.push_back({{"bank", geometry::bank_name(design.intake, b)},
                            {"cylinder", geometry::cylinder_of(bank, i)},
                            {"x", drawn(to_unit(bank.runners[i].x, along.unit), along.step)}});
        }
    }
    return list;
}

}  // namespace

std::string chart_data(const Sources& sources) {
    Json json = {{"results", Json::array()}};
    for (const auto& source : sources) {
        Json one = {{"name", sources.size() > 1 ? source.name : ""}, {"points", Json::array()}};
        const auto told = source.result.telling();
        for (const auto& point : source.result.points) {
            const bool telling = std::find(told.begin(), told.end(), &point) != told.end();
            one["points"].push_back(point_json(point, telling, Along(source.result.units)));
        }
        one["runners"] = source.design ? runners_json(*source.design) : Json::array();
        json["results"].push_back(std::move(one));
    }
    return safe_json(json.dump(-1, ' ', false, Json::error_handler_t::replace));
}

}  // namespace plenair::html

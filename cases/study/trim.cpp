#include "cases/study/trim.hpp"

#include "cases/study/case.hpp"
#include "cases/study/trim_parts.hpp"
#include "geometry/error.hpp"
#include "geometry/places.hpp"
#include "solver/network/point.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace plenair {

namespace {

/// Mean static pressure in the plenum; without a profile what the losses leave of the source.
double plenum_pressure(const PointResult& point) {
    double sum = 0.0;
    std::size_t count = 0;
    for (const auto& profile : point.pressures) {
        if (geometry::is_plenum(profile.part)) {
            sum = std::accumulate(profile.mean.begin(), profile.mean.end(), sum);
            count += profile.mean.size();
        }
    }
    return count > 0 ? sum / static_cast<double>(count)
                     : point.source_pressure - point.throttle_loss - point.slot_loss;
}

const OperatingPoint& asked_for(const Case& c, const std::string& name) {
    const auto found = std::find_if(
        c.points.begin(), c.points.end(), [&](const auto& point) { return point.name == name; });
    if (found == c.points.end()) {
        throw InputError({fmt::format(
            "{}: the result's point {} is not in the case; solve the case again", c.path, name)});
    }
    return *found;
}

void expect_engine(const Case& c, const PointResult& point) {
    if (point.cylinders.size() == c.engine.firing_order.size()) {
        return;
    }
    throw InputError(
        {fmt::format("{}: point {} of the result has {} cylinders, the engine {}; "
                     "solve the case again",
                     c.path,
                     point.name,
                     point.cylinders.size(),
                     c.engine.firing_order.size())});
}

/// Place of a cylinder in the firing order, from 1, by the case itself.
int firing_position(const Case& c, int cylinder) {
    const auto& order = c.engine.firing_order;
    const auto at = std::find(order.begin(), order.end(), cylinder);
    if (at == order.end()) {
        throw InputError(
            {fmt::format("{}: the result's cylinder {} is not in engine.firing_order; solve the "
                         "case again",
                         c.path,
                         cylinder)});
    }
    return static_cast<int>(at - order.begin()) + 1;
}

CylinderTrim cylinder_trim(const Case& c,
                           const TrimPoint& point,
                           const CylinderResult& air,
                           double exact,
                           double rounded) {
    const double mean_fuel = point.air_flow / static_cast<double>(c.engine.firing_order.size()) /
                             (c.fuel.stoich * point.lambda);
    CylinderTrim t;
    t.cylinder = air.cylinder;
    t.firing_position = firing_position(c, air.cylinder);
    t.bias = air.bias;
    t.exact = exact;
    t.trim = rounded;
    t.multiplier = 1.0 + rounded;
    t.lambda_untrimmed = point.lambda * (1.0 + air.bias);
    t.lambda_trimmed = t.lambda_untrimmed / t.multiplier;
    t.fuel_untrimmed = mean_fuel;
    t.fuel_trimmed = mean_fuel * t.multiplier;
    if (c.injection) {
        const auto duty = [&](double fuel) {
            return duty_of(
                *c.injection, *c.fuel.density, fuel, point.second_stage_ratio, point.speed);
        };
        t.duty_untrimmed = duty(t.fuel_untrimmed);
        t.duty_trimmed = duty(t.fuel_trimmed);
    }
    return t;
}

void add_nitrous(const Case& c, TrimPoint& point) {
    if (!c.nitrous) {
        return;
    }
    const auto& at = c.nitrous->points;
    if (!at.empty() && std::find(at.begin(), at.end(), point.name) == at.end()) {
        return;
    }
    const auto& flow = c.nitrous->flow;
    const auto count = static_cast<double>(point.cylinders.size());
    for (const auto& t : point.cylinders) {
        const auto place = flow.size() == 1 ? 0 : static_cast<std::size_t>(t.cylinder - 1);
        const double air = point.air_flow / count * (1.0 + t.bias);
        auto n = nitrous_into(air, t.fuel_trimmed, flow.at(place), point.lambda, c.fuel.stoich);
        n.cylinder = t.cylinder;
        n.firing_position = t.firing_position;
        point.nitrous.push_back(n);
    }
}

TrimPoint trim_point(const Case& c, const PointResult& solved, double step) {
    TrimPoint point;
    point.name = solved.name;
    point.speed = solved.speed;
    point.source_pressure = solved.source_pressure;
    point.lambda = asked_for(c, solved.name).combustion.lambda;
    point.failure = solved.failure;
    if (!solved.converged) {
        return point;
    }
    if (!(solved.air_flow > 0.0)) {
        point.failure = "no air passes the throttle";
        return point;
    }
    expect_engine(c, solved);
    point.issued = true;
    point.plenum_pressure = plenum_pressure(solved);
    point.air_flow = solved.air_flow;
    point.bias_band = solved.bias_band;
    point.banks = solved.banks;
    if (c.injection) {
        point.second_stage_ratio = staging_ratio(*c.injection, point.plenum_pressure, point.speed);
    }
    auto air = solved.cylinders;
    std::sort(air.begin(), air.end(), [](const auto& a, const auto& b) {
        return a.cylinder < b.cylinder;
    });
    std::vector<double> biases;
    for (const auto& cylinder : air) {
        biases.push_back(cylinder.bias);
    }
    const Trims trims = trims_of(biases, step);
    point.moved_mean = trims.moved_mean;
    for (std::size_t i = 0; i < air.size(); ++i) {
        point.cylinders.push_back(
            cylinder_trim(c, point, air[i], trims.exact[i], trims.rounded[i]));
    }
    const auto [least, most] = std::minmax_element(
        point.cylinders.begin(), point.cylinders.end(), [](const auto& a, const auto& b) {
            return a.bias < b.bias;
        });
    point.spread = most->bias - least->bias;
    point.leanest = study::leanest_of(point).front();
    point.lean_margin = most->lambda_untrimmed - point.lambda;
    point.risk = study::risk_of(point);
    add_nitrous(c, point);
    return point;
}

}  // namespace

bool TrimResult::converged() const {
    return std::all_of(points.begin(), points.end(), [](const auto& p) { return p.issued; });
}

TrimResult trim(const Case& c, const SolveResult& solved, const TrimOptions& options) {
    if (!c.has_engine) {
        throw InputError({c.path + ": no [engine]: trim needs one"});
    }
    if (c.injection && !c.fuel.density) {
        throw InputError({c.path +
                          ": injectors without fuel.density: duty needs it; write e.g. density = "
                          "\"0.745 kg/L\" in [fuel]"});
    }
    TrimResult result;
    result.title = solved.title;
    result.case_digest = solved.case_digest;
    result.case_text = solved.case_text;
    result.step = options.step;
    result.fuel = c.fuel;
    result.injection = c.injection;
    for (std::size_t p = 0; p < solved.points.size(); ++p) {
        result.points.push_back(trim_point(c, solved.points[p], options.step));
        const auto* curve = solved.curve_of(p);
        result.points.back().curve = curve == nullptr ? "" : curve->name;
    }
    result.fixed = study::fixed_trims(result.points);
    study::add_map(result, options);
    study::add_findings(result, options.alone);
    return result;
}

}  // namespace plenair

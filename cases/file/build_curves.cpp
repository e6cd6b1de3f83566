#include "cases/file/build.hpp"

#include <algorithm>

#include <fmt/format.h>

/// Curves over speed: each becomes as many points as it has steps.
namespace plenair::file {
namespace {

geometry::Profile over_speed(const Scope& scope, std::string_view key) {
    const Value value = scope.value(key);
    if (value.numbers.empty()) {
        return {};
    }
    return value.form == Form::stations ? geometry::Profile::stations(value.x, value.numbers)
                                        : geometry::Profile::constant(value.number());
}

std::string in_rpm(double speed) {
    return geometry::format_in(speed, "rpm");
}

/// Stations must reach from the first to the last speed: nothing is guessed beyond them.
void check_stations(
    const Scope& scope, std::string_view key, double from, double to, Messages& messages) {
    const Value* value = scope.good(key);
    if (value == nullptr || value->form != Form::stations) {
        return;
    }
    constexpr double slack = 1e-9;  // of a speed written in two units
    if (value->x.front() > from * (1 + slack) || value->x.back() < to * (1 - slack)) {
        refuse(messages,
               *value,
               fmt::format("speeds {} to {} rpm leave a part of the curve ({} to {} rpm) without a "
                           "value; add stations at its ends",
                           in_rpm(value->x.front()),
                           in_rpm(value->x.back()),
                           in_rpm(from),
                           in_rpm(to)));
    }
}

/// Whether the range makes sense; reports where it does not.
bool check_range(const Scope& scope, double from, double to, Messages& messages) {
    const Value* end = scope.good("curve.to");
    if (end == nullptr || scope.good("curve.from") == nullptr) {
        return false;
    }
    if (!(to > from)) {
        refuse(
            messages,
            *end,
            fmt::format("not above {}.from ({} rpm); exchange the two", scope.shown, in_rpm(from)));
        return false;
    }
    for (const std::string_view key : {"curve.pressure",
                                       "curve.temperature",
                                       "curve.exhaust_pressure",
                                       "curve.exhaust_temperature",
                                       "curve.throttle_angle",
                                       "curve.lambda"}) {
        check_stations(scope, key, from, to, messages);
    }
    return true;
}

SpeedCurve build_curve(const Scope& root, const Scope& scope, const Combustion& combustion) {
    SpeedCurve curve;
    curve.name = scope.word("curve.name");
    curve.base.combustion = combustion;
    curve.base.humidity_ratio = outside_humidity(root, scope.maybe("curve.humidity"));
    curve.pressure = over_speed(scope, "curve.pressure");
    curve.temperature = over_speed(scope, "curve.temperature");
    curve.exhaust_pressure = over_speed(scope, "curve.exhaust_pressure");
    curve.exhaust_temperature = over_speed(scope, "curve.exhaust_temperature");
    curve.throttle_angle = over_speed(scope, "curve.throttle_angle");
    curve.lambda = over_speed(scope, "curve.lambda");
    return curve;
}

void check_name(const Scope& scope, const Case& c, Messages& messages) {
    const Value* name = scope.good("curve.name");
    if (name == nullptr) {
        return;
    }
    const std::string word = name->word();
    if (word.empty()) {
        messages.error(name->place, "curve.name is empty; write e.g. name = \"full\"");
        return;
    }
    const bool taken = std::any_of(c.points.begin(),
                                   c.points.end(),
                                   [&](const auto& p) {
                                       return p.name == word || p.name.starts_with(word + "@");
                                   }) ||
                       std::any_of(c.curves.begin(), c.curves.end(), [&](const auto& curve) {
                           return curve.name == word;
                       });
    if (taken) {
        refuse(messages, *name, "a point or another curve has this name; choose another");
    }
}

void check_speed(const Scope& scope, const Case& c, Messages& messages) {
    const Value* to = scope.good("curve.to");
    if (to && c.engine.max_speed && to->number() > *c.engine.max_speed * (1 + 1e-12)) {
        caution(messages,
                *to,
                fmt::format("above engine.max_speed ({} rpm)", in_rpm(*c.engine.max_speed)));
    }
    const Value* angle = scope.good("curve.throttle_angle");
    for (const auto& bank : c.intake.banks) {
        for (const auto& throttle : bank.throttles) {
            if (angle) {
                refuse_below_stop(messages, *angle, throttle);
            }
        }
    }
}

}  // namespace

void build_curves(const Scope& root, Case& c, Messages& messages) {
    const auto& list = root.list("curve");
    if (!list.empty() && !root.has("engine")) {
        messages.error(list.front().place,
                       "[[curve]] without an engine; add [engine] or use [bench]");
    }
    const auto combustion = build_combustion(root);
    for (const auto& scope : list) {
        check_name(scope, c, messages);
        check_speed(scope, c, messages);
        const double from = scope.number("curve.from"), to = scope.number("curve.to");
        if (!check_range(scope, from, to, messages)) {
            continue;
        }
        SpeedCurve curve = build_curve(root, scope, combustion);
        curve.first = c.points.size();
        curve.count = static_cast<std::size_t>(std::max(scope.number("curve.steps"), 2.0));
        for (std::size_t i = 0; i < curve.count; ++i) {
            const double part = static_cast<double>(i) / static_cast<double>(curve.count - 1);
            c.points.push_back(curve.at(from + part * (to - from)));
        }
        c.curves.push_back(std::move(curve));
    }
}

}  // namespace plenair::file

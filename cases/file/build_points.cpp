#include "cases/file/charge.hpp"
#include "cases/file/humidity.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

namespace plenair::file {
namespace {

OperatingPoint build_point(const Scope& root, const Scope& scope, const Combustion& combustion) {
    OperatingPoint point;
    point.name = scope.word("point.name");
    point.speed = scope.number("point.speed");
    point.pressure = scope.number("point.pressure");
    point.temperature = scope.number("point.temperature");
    point.humidity_ratio = outside_humidity(root, scope.maybe("point.humidity"));
    point.throttle_angle = scope.maybe("point.throttle_angle");
    point.exhaust_pressure = scope.number("point.exhaust_pressure");
    point.exhaust_temperature = scope.number("point.exhaust_temperature");
    point.combustion = combustion;
    const auto air_fuel_ratio = scope.maybe("point.air_fuel_ratio");
    point.combustion.lambda = air_fuel_ratio && combustion.stoich > 0
                                  ? *air_fuel_ratio / combustion.stoich
                                  : scope.number("point.lambda");
    return point;
}

/// An air-fuel ratio means nothing without the fuel, and one mixture is said once.
void check_mixture(const Scope& root, const Scope& scope, Messages& messages) {
    const Value* ratio = scope.good("point.air_fuel_ratio");
    if (!ratio) {
        return;
    }
    if (scope.find("point.lambda")) {
        refuse(messages, *ratio, "lambda is given as well; keep one of the two");
    } else if (!root.find("fuel.stoich")) {
        refuse(messages,
               *ratio,
               "without its fuel; give lambda, or AFR with stoich ratio (fuel.stoich)");
    } else if (const double stoich = root.number("fuel.stoich"); stoich > 0) {
        const double lambda = ratio->number() / stoich;
        if (lambda < 0.4 || lambda > 10) {
            refuse(messages,
                   *ratio,
                   fmt::format("lambda {} with fuel.stoich {}: outside 0.4 to 10; check both",
                               geometry::format_number(lambda, 3),
                               geometry::format_number(stoich, 4)));
        }
    }
}

/// Two points of one name; said of the one that --set renamed, where it did.
void report_same_name(const std::string& name, Place one, Place other, Messages& messages) {
    if (one.line > 0 && other.line > 0) {
        messages.error(other,
                       fmt::format("point.name = {}: line {} has the same name; rename the "
                                   "point of line {} or {}",
                                   name,
                                   one.line,
                                   one.line,
                                   other.line));
        return;
    }
    const int line = std::max(one.line, other.line);
    messages.error({},
                   fmt::format("point.name = {}: {} the same name; set another one",
                               name,
                               line > 0 ? fmt::format("the point of line {} has", line)
                                        : "another --set gives a point"));
}

void check_names(const std::vector<Scope>& points, Messages& messages) {
    std::map<std::string, Place> first;
    for (const auto& scope : points) {
        const Value* name = scope.good("point.name");
        if (!name) {
            continue;
        }
        if (name->word().empty()) {
            messages.error(name->place, "point.name is empty; write e.g. name = \"A4\"");
            continue;
        }
        const auto [at, fresh] = first.emplace(name->word(), name->place);
        if (!fresh) {
            report_same_name(name->text, at->second, name->place, messages);
        }
    }
}

}  // namespace

Combustion build_combustion(const Scope& root) {
    Combustion combustion;
    combustion.motored = root.flag("combustion.motored");
    combustion.stoich = root.number("fuel.stoich");
    combustion.heating_value = root.number("fuel.heating_value");
    combustion.hydrogen_carbon = root.number("fuel.hydrogen_carbon");
    combustion.oxygen_carbon = root.number("fuel.oxygen_carbon");
    combustion.start = root.number("combustion.start");
    combustion.duration = root.number("combustion.duration");
    combustion.wiebe_a = root.number("combustion.wiebe_a");
    combustion.wiebe_m = root.number("combustion.wiebe_m");
    combustion.wall_temperature = root.number("combustion.wall_temperature");
    combustion.wall_heat = root.flag("combustion.wall_heat");
    return combustion;
}

double outside_humidity(const Scope& root, std::optional<double> humidity) {
    return humidity_ratio(humidity ? *humidity : root.number("site.humidity"),
                          root.value("site.temperature").good ? root.number("site.temperature") : 0,
                          root.number("site.barometer"));
}

std::vector<OperatingPoint> build_points(const Scope& root, Messages& messages) {
    std::vector<OperatingPoint> points;
    const auto& list = root.list("point");
    if (!list.empty() && !root.has("engine")) {
        messages.error(list.front().place,
                       "[[point]] without an engine; add [engine] or use [bench]");
    }
    const auto combustion = build_combustion(root);
    for (const auto& scope : list) {
        check_mixture(root, scope, messages);
        points.push_back(build_point(root, scope, combustion));
        build_charge(root, scope, points.back(), messages);
    }
    check_names(list, messages);
    return points;
}

void check_points(const Scope& root, const Case& c, Messages& messages) {
    for (const auto& scope : root.list("point")) {
        const Value* speed = scope.good("point.speed");
        if (speed && c.engine.max_speed && speed->number() > *c.engine.max_speed * (1 + 1e-12)) {
            caution(messages,
                    *speed,
                    fmt::format("above engine.max_speed ({} rpm)",
                                geometry::format_in(*c.engine.max_speed, "rpm")));
        }
        const Value* angle = scope.good("point.throttle_angle");
        for (const auto& bank : c.intake.banks) {
            const auto shut = [&](const geometry::Throttle& throttle) {
                return std::abs(angle->number() - throttle.closed_angle) <= 1e-9;
            };
            if (angle && !angle->numbers.empty() && !bank.throttles.empty() &&
                std::all_of(bank.throttles.begin(), bank.throttles.end(), shut)) {
                refuse(messages,
                       *angle,
                       "is throttle.closed_angle, where the plate passes no air; open it further");
                break;
            }
            for (const auto& throttle : bank.throttles) {
                if (angle) {
                    refuse_below_stop(messages, *angle, throttle);
                }
            }
        }
    }
}

}  // namespace plenair::file

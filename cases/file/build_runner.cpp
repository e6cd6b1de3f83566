#include "cases/file/build.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace plenair::file {
namespace {

/// One number of a list that holds one for all runners or one each.
double pick(const std::vector<double>& list, std::size_t i) {
    return list.empty() ? 0 : list[list.size() == 1 ? 0 : std::min(i, list.size() - 1)];
}

std::optional<double> maybe(const Scope& scope, const std::string& key, std::size_t i) {
    const Value* given = scope.good(key);
    return given ? std::optional(pick(given->numbers, i)) : std::nullopt;
}

/// Stations of one stretch of the bore, from `from` to `from + length`.
void append(const Value& value,
            std::size_t i,
            double from,
            double length,
            std::vector<double>& x,
            std::vector<double>& bore) {
    const auto add = [&](double at, double diameter) {
        if (!x.empty() && at <= x.back()) {
            if (diameter == bore.back()) {
                return;
            }
            at = x.back() + geometry::bore_step;
        }
        x.push_back(at);
        bore.push_back(diameter);
    };
    if (value.form == Form::stations) {
        for (std::size_t k = 0; k < value.x.size(); ++k) {
            add(from + value.x[k], value.numbers[k]);
        }
        return;
    }
    const double start = pick(value.numbers, i);
    const double end = value.form == Form::taper ? pick(value.ends, i) : start;
    add(from, start);
    if (end != start || length > 0) {
        add(from + length, end);
    }
}

geometry::Profile bore_of(const Scope& scope, std::size_t i, double flange, double port) {
    std::vector<double> x;
    std::vector<double> bore;
    const auto diameter = scope.value("runner.diameter");
    if (diameter.numbers.empty()) {
        return geometry::Profile::constant(0);
    }
    append(diameter, i, 0, flange, x, bore);
    if (const Value* head = scope.good("runner.port_diameter"); head && port > 0) {
        append(*head, i, flange, port, x, bore);
    }
    if (std::all_of(bore.begin(), bore.end(), [&](double d) { return d == bore.front(); })) {
        return geometry::Profile::constant(bore.front());
    }
    return geometry::Profile::stations(x, bore);
}

geometry::Runner runner_of(const Scope& scope, std::size_t i) {
    geometry::Runner runner;
    runner.x = scope.value("runner.x").numbers[i];
    const double flange = pick(scope.value("runner.length").numbers, i);
    runner.port_length = pick(scope.value("runner.port_length").numbers, i);
    runner.length = flange + runner.port_length;
    runner.port_bore = scope.good("runner.port_diameter") != nullptr;
    runner.diameter = bore_of(scope, i, flange, runner.port_length);
    runner.bell_radius = pick(scope.value("runner.bell_radius").numbers, i);
    runner.bend_loss = pick(scope.value("runner.bend_loss").numbers, i);
    runner.bell_outer_diameter = maybe(scope, "runner.bell_outer_diameter", i);
    runner.protrusion = maybe(scope, "runner.protrusion", i);
    runner.angle = pick(scope.value("runner.angle").numbers, i);
    runner.wall_clearance = maybe(scope, "runner.wall_clearance", i);
    runner.entry_loss = maybe(scope, "runner.entry_loss", i);
    runner.exit_loss = maybe(scope, "runner.exit_loss", i);
    runner.exit_pressure = maybe(scope, "runner.exit_pressure", i);
    runner.roughness = maybe(scope, "runner.roughness", i);
    runner.wall_temperature = maybe(scope, "runner.wall_temperature", i);
    runner.port_wall_temperature = maybe(scope, "runner.port_wall_temperature", i);
    return runner;
}

/// Every list has one value or as many as there are mouths.
bool check_counts(const Scope& scope, std::size_t count, Messages& messages) {
    bool fits = true;
    for (const auto& [name, value] : scope.values) {
        if (!name.starts_with("runner.") || name == "runner.x" || !value.good ||
            value.form == Form::stations) {
            continue;
        }
        if (const auto given = value.numbers.size(); given != 1 && given != count) {
            refuse(messages,
                   value,
                   fmt::format(
                       "{} values for {} runners; give one for all or one each", given, count));
            fits = false;
        }
    }
    return fits;
}

}  // namespace

std::vector<geometry::Runner> build_runners(const Scope& scope, Messages& messages) {
    std::vector<geometry::Runner> runners;
    const Value* x = scope.good("runner.x");
    if (!x || !check_counts(scope, x->numbers.size(), messages)) {
        return runners;
    }
    const Value* length = scope.good("runner.length");
    if (length) {
        check_cover(messages, scope.good("runner.diameter"), length->number());
    }
    if (const Value* port = scope.good("runner.port_diameter")) {
        if (!scope.find("runner.port_length")) {
            refuse(messages, *port, "no port to shape; write port_length = \"92 mm\"");
        } else if (const Value* stretch = scope.good("runner.port_length")) {
            check_cover(messages, port, stretch->number());
        }
    }
    for (std::size_t i = 0; i < x->numbers.size(); ++i) {
        runners.push_back(runner_of(scope, i));
    }
    return runners;
}

}  // namespace plenair::file

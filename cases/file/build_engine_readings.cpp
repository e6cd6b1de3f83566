#include "cases/file/build.hpp"
#include "cases/file/build_measured.hpp"
#include "cases/study/taps.hpp"

#include <algorithm>
#include <numeric>
#include <set>

#include <fmt/format.h>

namespace plenair::file {
namespace {

using MaybeList = std::vector<std::optional<double>>;

std::size_t cylinder_count(const Case& c) {
    return static_cast<std::size_t>(c.engine.cylinder_count());
}

/// Numbers of cylinders or of their sensors, from 0, each once; empty, and reported, where the
/// engine has no such or one stands twice.
std::vector<std::size_t> numbered(const Value& value, const char* what, MeasuredContext& context) {
    const std::size_t count = cylinder_count(context.c);
    std::vector<std::size_t> found;
    std::set<double> seen;
    for (const double number : value.numbers) {
        if (number > static_cast<double>(count)) {
            refuse(context.messages,
                   value,
                   fmt::format(
                       "{} {} of {}; the engine has {} cylinders", what, number, count, count));
            return {};
        }
        if (!seen.insert(number).second) {
            refuse(context.messages,
                   value,
                   fmt::format("{} {} stands twice; name each once", what, number));
            return {};
        }
        found.push_back(static_cast<std::size_t>(number) - 1);
    }
    return found;
}

/// A list in the order of `cylinders`, put by cylinder number.
MaybeList by_cylinder(const Value& value,
                      const std::vector<std::size_t>& cylinders,
                      MeasuredContext& context) {
    MaybeList list(cylinder_count(context.c));
    if (value.numbers.size() != cylinders.size()) {
        refuse(context.messages,
               value,
               fmt::format("{} values for {} cylinders; give one a cylinder, or name the measured "
                           "ones with cylinders = [...]",
                           value.numbers.size(),
                           cylinders.size()));
        return list;
    }
    for (std::size_t i = 0; i < cylinders.size(); ++i) {
        list[cylinders[i]] = value.numbers[i];
    }
    return list;
}

void read_lambda(const Scope& scope,
                 const std::vector<std::size_t>& cylinders,
                 EngineReading& reading,
                 MeasuredContext& context) {
    const Value* lambda = scope.good("engine.lambda");
    const Value* ratio = scope.good("engine.air_fuel_ratio");
    if (lambda && ratio) {
        refuse(context.messages, *ratio, "lambda is given as well; keep one of the two");
        return;
    }
    if (lambda) {
        reading.lambda = by_cylinder(*lambda, cylinders, context);
    } else if (ratio) {
        reading.lambda = by_cylinder(*ratio, cylinders, context);
        const double stoich = context.c.points[reading.point].combustion.stoich;
        for (auto& l : reading.lambda) {
            if (l) {
                *l /= stoich;
                if (*l < 0.4 || *l > 2) {
                    refuse(context.messages,
                           *ratio,
                           fmt::format("lambda {:.3f} with the case's fuel.stoich {}; is it on "
                                       "another fuel's scale?",
                                       *l,
                                       geometry::format_number(stoich, 4)));
                    return;
                }
            }
        }
    }
    if (!lambda && !ratio) {
        return;
    }
    if (const auto half = scope.maybe("engine.lambda_uncertainty")) {
        reading.lambda_uncertainty = *half;
    } else {
        reading.lambda_uncertainty = usual::lambda;
        note_default(context, reading.name + ", lambda", "0.01");
    }
    const auto sensor = scope.word("engine.sensor");
    reading.sensor = sensor == "collector"        ? LambdaSensor::collector
                     : sensor == "before turbine" ? LambdaSensor::before_turbine
                                                  : LambdaSensor::runner;
    reading.compensated = scope.flag("engine.compensated");
    if (reading.sensor == LambdaSensor::before_turbine && !reading.compensated) {
        context.measured.warnings.push_back(fmt::format(
            "{}: lambda before the turbine without compensation for pressure: rich reads richer, "
            "lean leaner; only differences between cylinders are used",
            reading.name));
    }
    if (reading.sensor == LambdaSensor::collector) {
        context.measured.warnings.push_back(fmt::format(
            "{}: lambda in a collector sees several cylinders; put sensors into the runners",
            reading.name));
    }
}

void read_exhaust(const Scope& scope,
                  const std::vector<std::size_t>& cylinders,
                  EngineReading& reading,
                  MeasuredContext& context) {
    const Value* value = scope.good("engine.exhaust_temperature");
    if (!value) {
        return;
    }
    reading.exhaust_temperature = by_cylinder(*value, cylinders, context);
    reading.probe_distance = scope.value("engine.probe_distance").numbers;
    if (const auto half = scope.maybe("engine.temperature_uncertainty")) {
        reading.temperature_uncertainty = *half;
    } else {
        reading.temperature_uncertainty = usual::exhaust_temperature;
        note_default(context, reading.name + ", exhaust temperature", "10 degC");
    }
    const auto& distance = reading.probe_distance;
    if (distance.size() > 1) {
        const auto [least, most] = std::minmax_element(distance.begin(), distance.end());
        if (*most > *least + 1e-4) {
            context.measured.warnings.push_back(
                fmt::format("{}: temperature probes stand {} to {} from the flange; unequal "
                            "ones are not compared",
                            reading.name,
                            context.messages.bare_length(*least),
                            context.messages.length(*most)));
            reading.exhaust_temperature.clear();
        }
    }
}

void read_tap(const Scope& scope, EngineReading& reading, MeasuredContext& context) {
    const Value* tap = scope.good("engine.tap");
    const auto of = bank_of(scope, "engine.tap_bank", tap != nullptr, context);
    if (!tap || !of.good) {
        return;
    }
    if (!reading.plenum_pressure) {
        refuse(context.messages, *tap, "without plenum_pressure; state what was read there");
        return;
    }
    const auto& bank = context.c.intake.banks[of.bank.value_or(0)];
    if (!bank.plenum || tap->number() > bank.plenum->length) {
        refuse(
            context.messages,
            *tap,
            bank.plenum
                ? fmt::format("beyond the plenum, which is {} long; check the number and its unit",
                              context.messages.length(bank.plenum->length))
                : std::string("the case has no plenum; remove the line"));
        return;
    }
    if (in_bell_mouth(bank, tap->number())) {
        refuse(context.messages,
               *tap,
               "inside a bell mouth, where the pressure is that of the runner's flow; put the tap "
               "between two mouths, or leave the line out for a tap in a side wall");
        return;
    }
    reading.tap = tap->number();
    reading.tap_bank = of.bank.value_or(0);
}

void read_air(const Scope& scope, EngineReading& reading, MeasuredContext& context) {
    reading.air_flow = scope.maybe("engine.air_flow");
    reading.plenum_pressure = scope.maybe("engine.plenum_pressure");
    const auto air = scope.maybe("engine.air_flow_uncertainty");
    const auto pressure = scope.maybe("engine.pressure_uncertainty");
    reading.air_flow_uncertainty = air.value_or(usual::air_flow);
    reading.pressure_uncertainty = pressure.value_or(usual::pressure);
    if (reading.air_flow && !air) {
        note_default(context, reading.name + ", air flow", "2 %");
    }
    if (reading.plenum_pressure && !pressure) {
        note_default(context, reading.name + ", plenum pressure", "0.5 %");
    }
    read_tap(scope, reading, context);
    const auto& point = context.c.points[reading.point];
    if (reading.plenum_pressure && *reading.plenum_pressure > 1.05 * point.pressure) {
        refuse(context.messages,
               *scope.find("engine.plenum_pressure"),
               fmt::format("above the {} kPa abs before the throttle at {}; check gauge and "
                           "absolute",
                           geometry::format_in(point.pressure, "kPa"),
                           point.name));
    }
}

std::vector<double> read_trims(const Scope& scope,
                               const std::vector<std::size_t>& cylinders,
                               MeasuredContext& context) {
    const Value* value = scope.good("engine.trims");
    std::vector<double> trims(cylinder_count(context.c), 0.0);
    if (!value) {
        return trims;
    }
    const auto& given = value->numbers;
    if (given.size() == trims.size()) {
        return given;
    }
    const auto list = by_cylinder(*value, cylinders, context);
    for (std::size_t i = 0; i < trims.size(); ++i) {
        trims[i] = list[i].value_or(0);
    }
    return trims;
}

/// Index of a point by its name; reports one that the case has not.
std::optional<std::size_t> point_of(const Value& value, MeasuredContext& context) {
    std::vector<std::string> names;
    for (const auto& point : context.c.points) {
        names.push_back(point.name);
    }
    const auto found = std::find(names.begin(), names.end(), value.word());
    if (found != names.end()) {
        return static_cast<std::size_t>(found - names.begin());
    }
    const auto near = nearest_word(value.word(), names);
    refuse(context.messages,
           value,
           names.empty() ? "the case has no points; remove the readings or add [[point]] to it"
           : near.empty()
               ? fmt::format("no such point in the case; write e.g. \"{}\"", names.front())
               : fmt::format("no such point in the case; did you mean {}?", near));
    return std::nullopt;
}

void build_injectors(const Scope& root, MeasuredContext& context) {
    const Value* flow = root.good("injectors.flow");
    if (!flow) {
        return;
    }
    const std::size_t count = cylinder_count(context.c);
    if (flow->numbers.size() != count) {
        refuse(context.messages,
               *flow,
               fmt::format(
                   "{} flows for {} cylinders; give one a cylinder", flow->numbers.size(), count));
        return;
    }
    InjectorSheet sheet{flow->numbers, usual::injector_sheet};
    const double mean =
        std::accumulate(sheet.flow.begin(), sheet.flow.end(), 0.0) / static_cast<double>(count);
    for (double& f : sheet.flow) {
        f /= mean;
        if (f < 0.5 || f > 1.5) {
            refuse(context.messages, *flow, "one is beyond half of the mean off; check the list");
            return;
        }
    }
    if (const auto half = root.maybe("injectors.uncertainty")) {
        sheet.uncertainty = *half;
    } else {
        note_default(context, "injectors", "1 %");
    }
    context.measured.injectors = sheet;
}

}  // namespace

std::vector<std::size_t> cylinders_of(const Scope& scope,
                                      const std::string& key,
                                      MeasuredContext& context) {
    std::vector<std::size_t> all(cylinder_count(context.c));
    std::iota(all.begin(), all.end(), std::size_t{0});
    const Value* given = scope.good(key);
    const auto named = given ? numbered(*given, "cylinder", context) : std::vector<std::size_t>{};
    return named.empty() ? all : named;
}

std::vector<std::size_t> sensor_order_of(const Scope& scope,
                                         const std::string& key,
                                         const std::vector<std::size_t>& cylinders,
                                         MeasuredContext& context) {
    const Value* value = scope.good(key);
    if (!value) {
        return {};
    }
    const auto homes = numbered(*value, "sensor", context);
    if (homes.size() != cylinders.size()) {
        if (!homes.empty()) {
            refuse(context.messages,
                   *value,
                   fmt::format("{} sensors for {} cylinders; give the sensor of each",
                               homes.size(),
                               cylinders.size()));
        }
        return {};
    }
    std::vector<std::size_t> each_its_own(cylinder_count(context.c));
    std::iota(each_its_own.begin(), each_its_own.end(), std::size_t{0});
    auto order = each_its_own;
    for (std::size_t i = 0; i < homes.size(); ++i) {
        order[cylinders[i]] = homes[i];
    }
    return order == each_its_own ? std::vector<std::size_t>{} : order;
}

void build_engine_readings(const Scope& root, MeasuredContext& context) {
    if (!root.list("engine").empty() && !context.c.has_engine) {
        context.messages.error(root.list("engine").front().place,
                               "[[engine]] for a case without an engine; remove it");
        return;
    }
    if (context.c.has_engine) {
        build_injectors(root, context);
    }
    const auto& before = context.measured.engine;
    for (const auto& scope : root.list("engine")) {
        const Value* name = scope.good("engine.point");
        const auto point = name ? point_of(*name, context) : std::nullopt;
        if (!point) {
            continue;
        }
        EngineReading reading;
        reading.point = *point;
        reading.name = name->word();
        reading.lambda.resize(cylinder_count(context.c));
        const auto cylinders = cylinders_of(scope, "engine.cylinders", context);
        reading.sensor_order = sensor_order_of(scope, "engine.sensor_order", cylinders, context);
        const auto of_point = [&](const auto& e) { return e.point == *point; };
        if (std::any_of(before.begin(), before.end(), [&](const auto& e) {
                return of_point(e) && e.sensor_order == reading.sensor_order;
            })) {
            refuse(context.messages,
                   *name,
                   "this point was read above already; put both into one, or average them; with "
                   "lambda sensors exchanged, say so by sensor_order");
            continue;
        }
        if (const auto times = std::count_if(before.begin(), before.end(), of_point); times > 0) {
            reading.name += fmt::format(" ({})", times + 1);
        }
        read_lambda(scope, cylinders, reading, context);
        read_exhaust(scope, cylinders, reading, context);
        read_air(scope, reading, context);
        reading.trims = read_trims(scope, cylinders, context);
        context.measured.engine.push_back(reading);
    }
}

}  // namespace plenair::file

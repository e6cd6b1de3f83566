#include "cases/file/build.hpp"
#include "cases/file/humidity.hpp"

#include <algorithm>
#include <numbers>

#include <fmt/format.h>

namespace plenair::file {
namespace {

InjectorStage build_stage(const Scope& root, const std::string& section) {
    InjectorStage stage;
    stage.rated_flow = root.number(section + ".flow");
    stage.rated_pressure = root.number(section + ".rated_pressure");
    stage.rated_density = root.number(section + ".rated_density");
    stage.dead_time = root.number(section + ".dead_time");
    stage.duty_limit = root.number(section + ".duty_limit");
    return stage;
}

void check_injection(const Scope& root, Messages& messages) {
    const auto at = root.place_of_section("injector");
    if (!root.has("injector.primary")) {
        messages.error(at, "injector: no first stage; add [injector.primary]");
    }
    if (!root.find("injector.pressure")) {
        messages.error(at,
                       "injector.pressure: missing: the flow of an injector needs it; write "
                       "pressure = \"300 kPa\" in [injector]");
    }
    if (!root.find("fuel.density")) {
        messages.error(at,
                       "injector: no fuel.density: duty needs it; write density = \"0.745 kg/L\" "
                       "in [fuel]");
    }
    const Value* start = root.good("injector.staging_pressure");
    const Value* equal = root.good("injector.equal_pressure");
    if (start && equal && equal->number() < start->number()) {
        refuse(messages,
               *equal,
               fmt::format("below injector.staging_pressure ({}); both stages are equal only after "
                           "the second adds",
                           start->text));
    }
    for (const auto* key :
         {"injector.staging_pressure", "injector.staging_speed", "injector.equal_pressure"}) {
        const Value* given = root.good(key);
        if (given && !root.has("injector.secondary")) {
            refuse(messages, *given, "there is no second stage; add [injector.secondary]");
        }
    }
}

Injection build_injection(const Scope& root) {
    Injection injection;
    injection.pressure = root.number("injector.pressure");
    injection.primary = build_stage(root, "injector.primary");
    if (root.has("injector.secondary")) {
        injection.secondary = build_stage(root, "injector.secondary");
    }
    injection.staging_pressure = root.maybe("injector.staging_pressure").value_or(0);
    injection.staging_speed = root.maybe("injector.staging_speed").value_or(0);
    injection.equal_pressure = root.maybe("injector.equal_pressure").value_or(0);
    return injection;
}

void check_nitrous(const Scope& root, const Case& c, Messages& messages) {
    if (const Value* jet = root.good("nitrous.jet_diameter")) {
        refuse(messages, *jet, "two-phase flow: not computed; use measured g/s (nitrous.flow)");
    }
    const Value* flow = root.good("nitrous.flow");
    const auto cylinders = c.engine.firing_order.size();
    if (!c.has_engine) {
        messages.error(root.place_of_section("nitrous"), "nitrous without an engine; add [engine]");
    } else if (flow && flow->numbers.size() != 1 && flow->numbers.size() != cylinders) {
        refuse(messages,
               *flow,
               fmt::format("{} flows for {} cylinders; give one for all, or one a cylinder",
                           flow->numbers.size(),
                           cylinders));
    }
    const Value* points = root.good("nitrous.points");
    for (const auto& name : points ? points->words : std::vector<std::string>{}) {
        const bool known = std::any_of(
            c.points.begin(), c.points.end(), [&](const auto& p) { return p.name == name; });
        if (!known) {
            refuse(messages,
                   *points,
                   fmt::format("there is no point {}; name points of this file", name));
        }
    }
}

/// The point that asks most of a stage, of those above its limit.
struct Worst {
    std::string point;
    double duty = 0;
    void offer(const StageDuty& asked, const std::string& name) {
        if (asked.over && asked.commanded > duty) {
            point = name;
            duty = asked.commanded;
        }
    }
};

}  // namespace

void build_fuel(const Scope& root, Case& c, Messages& messages) {
    c.fuel.name = root.word("fuel.name");
    c.fuel.stoich = root.number("fuel.stoich");
    c.fuel.density = root.maybe("fuel.density");
    if (root.has("injector")) {
        check_injection(root, messages);
        c.injection = build_injection(root);
    }
    if (root.has("nitrous")) {
        check_nitrous(root, c, messages);
        const Value* points = root.good("nitrous.points");
        c.nitrous = Nitrous{root.value("nitrous.flow").numbers,
                            points ? points->words : std::vector<std::string>{}};
    }
}

void check_injectors(const Scope& root, const Case& c, Messages& messages) {
    if (!c.injection || !c.fuel.density || !c.has_engine || !(c.fuel.stoich > 0)) {
        return;
    }
    Worst primary, secondary;
    for (const auto& point : c.points) {
        if (point.throttle_angle) {
            continue;  // What a part-closed plate lets through is for solve to say.
        }
        const double air = point.pressure /
                           (moist_gas_constant(point.humidity_ratio) * point.temperature) *
                           c.engine.swept_volume() / (1 + point.humidity_ratio);
        const double fuel =
            air * point.speed / (4 * std::numbers::pi) / (point.combustion.lambda * c.fuel.stoich);
        const auto duty = duty_of(*c.injection,
                                  *c.fuel.density,
                                  fuel,
                                  staging_ratio(*c.injection, point.pressure, point.speed),
                                  point.speed);
        primary.offer(duty.primary, point.name);
        secondary.offer(duty.secondary, point.name);
    }
    const auto warn = [&](const std::string& stage, const Worst& worst, double limit) {
        if (!worst.point.empty()) {
            messages.warning(
                root.place_of_section("injector." + stage),
                fmt::format("injector.{}: point {} asks for {:.0f} % commanded duty where every "
                            "cylinder is filled once with the charge before the throttle, above "
                            "duty_limit = {:.0f} %: past its limit the mixture turns lean; larger "
                            "injectors, more injector.pressure{}, or less boost; trim says it for "
                            "the air that solve finds",
                            stage,
                            worst.point,
                            100 * worst.duty,
                            100 * limit,
                            c.injection->secondary ? ", an earlier second stage" : ""));
        }
    };
    warn("primary", primary, c.injection->primary.duty_limit);
    if (c.injection->secondary) {
        warn("secondary", secondary, c.injection->secondary->duty_limit);
    }
}

}  // namespace plenair::file

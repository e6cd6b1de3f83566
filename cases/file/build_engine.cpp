#include "cases/file/build.hpp"
#include "geometry/cam.hpp"

#include <algorithm>
#include <numbers>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace plenair::file {
namespace {

constexpr double cycle = 4 * std::numbers::pi;

/// Each cylinder 1 to N once. In words what is wrong: "cylinder 2 twice, 4 missing".
std::string order_fault(const std::vector<double>& order) {
    std::vector<std::string> faults;
    std::vector<int> times(order.size() + 1, 0);
    for (const double number : order) {
        const auto cylinder = static_cast<std::size_t>(number);
        if (cylinder > order.size()) {
            faults.push_back(fmt::format("cylinder {} of {}", cylinder, order.size()));
        } else {
            ++times[cylinder];
        }
    }
    for (std::size_t i = 1; i < times.size(); ++i) {
        if (times[i] > 1) {
            faults.push_back(times[i] == 2 ? fmt::format("cylinder {} twice", i)
                                           : fmt::format("cylinder {} {} times", i, times[i]));
        }
    }
    for (std::size_t i = 1; i < times.size(); ++i) {
        if (times[i] == 0) {
            faults.push_back(fmt::format("{} missing", i));
        }
    }
    return fmt::format("{}", fmt::join(faults, ", "));
}

void build_firing(const Scope& root, geometry::Engine& engine, Messages& messages) {
    const Value* order = root.good("engine.firing_order");
    if (!order) {
        return;
    }
    for (const double cylinder : order->numbers) {
        engine.firing_order.push_back(static_cast<int>(cylinder));
    }
    const auto count = engine.firing_order.size();
    if (const auto fault = order_fault(order->numbers); !fault.empty()) {
        refuse(messages, *order, fmt::format("{}; name each cylinder 1 to {} once", fault, count));
    }
    if (const Value* angles = root.good("engine.firing_angles")) {
        engine.firing_angles = angles->numbers;
        if (angles->numbers.size() != count) {
            refuse(messages,
                   *angles,
                   fmt::format(
                       "{} angles for {} cylinders; give one each", angles->numbers.size(), count));
        } else if (!std::is_sorted(
                       angles->numbers.begin(), angles->numbers.end(), std::less_equal<>{})) {
            refuse(messages, *angles, "not rising; list them in firing order");
        }
        return;
    }
    for (std::size_t i = 0; i < count; ++i) {
        engine.firing_angles.push_back(cycle * static_cast<double>(i) / static_cast<double>(count));
    }
}

/// The part of the second entry must be smaller than that of the first.
void check_smaller(const Scope& root,
                   const std::string& small,
                   const std::string& large,
                   Messages& messages) {
    const Value* a = root.good(small);
    const Value* b = root.good(large);
    if (a && b && a->number() >= b->number()) {
        refuse(messages,
               *a,
               fmt::format(
                   "not smaller than {} ({}); check both", large, messages.length(b->number())));
    }
}

void check_valve(const Scope& root,
                 const std::string& at,
                 const geometry::Valve& valve,
                 Messages& messages) {
    check_smaller(root, at + "throat", at + "head", messages);
    check_smaller(root, at + "stem", at + "throat", messages);
    check_smaller(root, at + "checking_lift", at + "lift", messages);
    const Value* closes = root.good(at + "closes");
    const Value* opens = root.good(at + "opens");
    if (closes && opens && valve.closes <= valve.opens) {
        refuse(
            messages,
            *closes,
            fmt::format("closes before it opens ({}); check BTDC, ATDC, BBDC, ABDC", opens->text));
    }
    const Value* curve = root.good(at + "lift_curve");
    if (curve && (curve->numbers.front() < 0 || curve->x.size() < 3)) {
        refuse(messages, *curve, "needs at least 3 rows of lift from opening to closing");
    }
}

/// What it changes to read events of 0.050 in at the usual checking lift: "intake 36 deg longer and
/// 12 % more open".
std::string change_of(const geometry::Valve& valve, const std::string& name) {
    geometry::Valve other = valve;
    other.checking_lift = geometry::card_lifts.back();
    const auto events = geometry::events_at(other, valve.checking_lift);
    const double area = geometry::angle_area(valve);
    if (!events || !(area > 0) || !(other.lift > other.checking_lift)) {
        return {};
    }
    return fmt::format("the {} valve is open {:.0f} deg longer and passes {:.0f} % more",
                       name,
                       geometry::to_unit(events->duration() - (valve.closes - valve.opens), "deg"),
                       100 * (geometry::angle_area(other) / area - 1));
}

/// Events without the lift at which they were taken are the costliest slip of a case file.
void warn_of_checking_lift(const Scope& root, const geometry::Engine& engine, Messages& messages) {
    std::vector<std::string> keys, changes;
    Place place;
    for (const std::string name : {"intake", "exhaust"}) {
        const std::string at = "valve." + name + ".";
        const auto& valve = name == "intake" ? engine.intake : engine.exhaust;
        const bool whole = root.good(at + "opens") && root.good(at + "closes") &&
                           root.good(at + "lift") && root.good(at + "head") &&
                           root.good(at + "throat") && root.good(at + "stem") &&
                           root.good(at + "cd") && valve.closes > valve.opens;
        if (root.find(at + "checking_lift") || root.find(at + "lift_curve") || !whole) {
            continue;
        }
        const auto change = change_of(valve, name);
        if (change.empty()) {
            continue;
        }
        place = keys.empty() ? root.good(at + "opens")->place : place;
        keys.push_back(at + "checking_lift");
        changes.push_back(change);
    }
    if (keys.empty()) {
        return;
    }
    const auto& units = messages.units();
    const auto shown = [&units](double lift) {
        return geometry::format_quantity(
            lift, Dimension::length, geometry::PressureKind::absolute, units);
    };
    messages.warning(
        place,
        fmt::format("{}: not given: opens and closes are read at {} of lift; if the cam card "
                    "states them at {}, {}; write checking_lift = \"{}\", or \"{}\" where that is "
                    "the lift of the card",
                    fmt::join(keys, ", "),
                    shown(engine.intake.checking_lift),
                    shown(geometry::card_lifts.back()),
                    fmt::join(changes, ", "),
                    units.inches() ? "0.050 in" : "1.27 mm",
                    units.inches() ? "0.004 in" : "0.1 mm"));
}

}  // namespace

geometry::Valve build_valve(const Scope& root, const std::string& section, Messages& messages) {
    const std::string at = section + ".";
    geometry::Valve valve;
    valve.count = static_cast<int>(root.number(at + "count"));
    valve.head = root.number(at + "head");
    valve.seat_width = root.number(at + "seat_width");
    valve.seat_angle = root.number(at + "seat_angle");
    valve.throat = root.number(at + "throat");
    valve.stem = root.number(at + "stem");
    valve.lift = root.number(at + "lift");
    valve.checking_lift = root.number(at + "checking_lift");
    valve.opens = root.number(at + "opens");
    valve.closes = root.number(at + "closes");
    const auto cd = root.value(at + "cd");
    valve.cd = {cd.x, cd.numbers};
    const auto curve = root.value(at + "lift_curve");
    valve.lift_angle = curve.x;
    valve.lift_value = curve.numbers;
    check_valve(root, at, valve, messages);
    return valve;
}

geometry::Engine build_engine(const Scope& root, Messages& messages) {
    geometry::Engine engine;
    build_firing(root, engine, messages);
    engine.bore = root.number("engine.bore");
    engine.stroke = root.number("engine.stroke");
    engine.rod = root.number("engine.rod");
    engine.compression_ratio = root.number("engine.compression_ratio");
    engine.pitch = root.number("engine.pitch");
    engine.max_speed = root.maybe("engine.max_speed");
    engine.exhaust_port = root.number("engine.exhaust_port");
    if (const Value* rod = root.good("engine.rod");
        rod && root.good("engine.stroke") && engine.rod <= engine.stroke / 2) {
        refuse(
            messages, *rod, "not longer than half the stroke; check engine.rod and engine.stroke");
    }
    for (const std::string section : {"valve.intake", "valve.exhaust"}) {
        if (!root.has(section)) {
            messages.error(root.place_of_section("engine"),
                           fmt::format("no [{}]: an engine needs it; add the section", section));
        }
    }
    engine.intake = build_valve(root, "valve.intake", messages);
    engine.exhaust = build_valve(root, "valve.exhaust", messages);
    warn_of_checking_lift(root, engine, messages);
    return engine;
}

}  // namespace plenair::file

#include "cases/file/start_writer.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string_view>

#include <fmt/ranges.h>

/// The numbers that the sections of a started case are made of.
namespace plenair::file {

namespace {

/// Drops entries of a shipped case that no longer fit.
void drop(TomlValues& values, std::string_view prefix) {
    std::erase_if(values, [&](const auto& entry) { return entry.first.starts_with(prefix); });
}

}  // namespace

double StartWriter::known(const std::string& key, double assumed) const {
    for (const auto* values : {&draft_.given, &draft_.liked}) {
        if (const auto found = values->find(key); found != values->end()) {
            Messages ignored("");
            const Value value = read_toml_value(key, key, found->second, ignored);
            return value.good ? value.number() : assumed;
        }
    }
    return assumed;
}

void StartWriter::find_layout() {
    const auto count_of = [](const TomlValues& values) {
        const auto found = values.find("engine.firing_order");
        return found == values.end() ? 0
                                     : 1 + static_cast<int>(std::count(
                                               found->second.begin(), found->second.end(), ','));
    };
    const int liked = count_of(draft_.liked);
    const int stated = plan_.cylinders > 0 ? plan_.cylinders : count_of(draft_.given);
    written_.cylinders = stated > 0 ? stated : liked;
    written_.banks = plan_.banks > 0 ? plan_.banks : 1;
    const bool changed = written_.cylinders != liked || written_.banks != 1;
    if (changed || draft_.given.contains("engine.pitch")) {
        for (const auto* key : {"runner.x",
                                "plenum.",
                                "pre_chamber.",
                                "slot.x",
                                "slot.length",
                                "throttle.position",
                                "throttle.x"}) {
            drop(draft_.liked, key);
        }
    }
    if (changed || !plan_.order.empty()) {
        drop(draft_.liked, "engine.firing_");
    }
    auto order = plan_.order;
    if (order.empty()) {
        order = rules::firing_order(written_.cylinders, written_.banks, usual_order_);
    } else {
        draft_.given["engine.firing_order"] = fmt::format("[{}]", fmt::join(order, ", "));
    }
    order_toml_ = fmt::format("[{}]", fmt::join(order, ", "));
    frame_.cylinders = written_.cylinders;
    frame_.per_bank = written_.cylinders / written_.banks;
    frame_.bore = known("engine.bore", 0.086);
    frame_.stroke = known("engine.stroke", 0.086);
    frame_.pitch = known("engine.pitch", draft_.drawn_length(1.1 * frame_.bore));
}

void StartWriter::find_air() {
    const double barometer = known("site.barometer", 101325);
    speeds_ = plan_.speed_texts;
    frame_.top_speed = plan_.speeds.empty() ? 0 : plan_.speeds.back();
    if (const auto found = draft_.given.find("point.speed"); found != draft_.given.end()) {
        speeds_ = {found->second.substr(1, found->second.size() - 2)};
        Messages checked("");
        frame_.top_speed = read_toml_value("point.speed", "", found->second, checked).number();
    }
    speeds_stated_ = !speeds_.empty();
    if (speeds_stated_ && liked_points_.size() > 1) {
        liked_points_.resize(1);
    }
    if (!speeds_stated_ && liked_points_.empty()) {
        frame_.top_speed = rules::top_speed(frame_.stroke);
        for (const double part : {0.4, 0.6, 0.8, 1.0}) {
            const double step = geometry::from_unit(100, "rpm");
            const double speed = std::round(part * frame_.top_speed / step) * step;
            speeds_.push_back(geometry::format_in(speed, "rpm") + " rpm");
        }
    }
    for (auto& point : liked_points_) {
        if (plan_.aspirated || !plan_.pressure.empty()) {
            drop(point, "point.pressure");
            drop(point, "point.exhaust_pressure");
            drop(point, "point.compressor_");
            drop(point, "point.temperature");
        }
        Messages ignored("");
        if (const auto found = point.find("point.speed"); found != point.end()) {
            const double speed =
                read_toml_value("point.speed", "", found->second, ignored).number();
            frame_.top_speed =
                speeds_stated_ ? frame_.top_speed : std::max(frame_.top_speed, speed);
        }
        if (const auto found = point.find("point.pressure");
            found != point.end() && plan_.pressure.empty()) {
            charge_pressure_ = found->second.substr(1, found->second.size() - 2);
        }
    }
    if (!plan_.pressure.empty()) {
        draft_.given["point.pressure"] = toml_string(plan_.pressure);
        charge_pressure_ = plan_.pressure;
    }
    if (charge_pressure_.empty()) {
        charge_pressure_ = geometry::format_in(barometer, "kPa") + " kPa abs";
    }
    geometry::PressureContext outside;
    outside.barometer = barometer;
    frame_.pressure = geometry::parse_quantity(charge_pressure_, Dimension::pressure, outside)
                          .value.value_or(barometer);
    frame_.boosted = frame_.pressure > 1.1 * barometer;
    frame_.temperature =
        known("point.temperature", frame_.boosted ? 318.15 : known("site.temperature", 293.15));
}

void StartWriter::find_runner() {
    const int count = static_cast<int>(std::lround(known("valve.intake.count", 2)));
    const double head = known("valve.intake.head",
                              (count == 1   ? 0.45
                               : count == 2 ? 0.36
                               : count == 3 ? 0.30
                                            : 0.26) *
                                  frame_.bore);
    const double throat = known("valve.intake.throat", 0.87 * head);
    metal_.port = std::sqrt(0.87 * count) * throat;
    metal_.flange = 1.045 * metal_.port;
    metal_.mouth = known("runner.diameter", 1.07 * metal_.flange);
    if (is_stated("runner.diameter")) {
        metal_.flange = metal_.mouth;
    }
    // Mouths a hand's breadth of metal apart, whatever the pitch.
    const double room = 0.5 * (frame_.pitch - 3 * millimetre - metal_.mouth);
    metal_.bell_radius =
        known("runner.bell_radius",
              std::clamp(0.25 * metal_.mouth, millimetre, std::max(room, millimetre)));
    metal_.bell_outer = known("runner.bell_outer_diameter", metal_.mouth + 2 * metal_.bell_radius);
    metal_.protrusion = known("runner.protrusion", metal_.bell_radius + millimetre);
    metal_.port_length = known("runner.port_length", 1.05 * frame_.bore);
    metal_.column = rules::air_column(frame_);
}

void StartWriter::find_chambers() {
    const double ends = std::max(0.56 * frame_.pitch, 0.5 * metal_.bell_outer + 5 * millimetre);
    metal_.length = known("plenum.length",
                          draft_.drawn_length((frame_.per_bank - 1) * frame_.pitch + 2 * ends));
    const double mean = frame_.volume_flow() / rules::throttle_velocity(frame_.per_bank);
    // A shaft of 0.14 bores leaves 0.65 of the square of the bore open.
    metal_.throttle = known("throttle.bore", std::sqrt(mean / (std::numbers::pi / 4 - 0.14)));
    const double over_mouth = metal_.protrusion + 1.2 * metal_.mouth;
    const double swept = frame_.per_bank * frame_.swept_volume();
    const double wanted = std::max(
        {1.4 * swept / metal_.length, over_mouth * over_mouth, 1.3 * disc(metal_.throttle)});
    if (plan_.plenum_volume) {
        draft_.given["plenum.area"] =
            fmt::format("\"{} {}\"",
                        geometry::format_in(*plan_.plenum_volume / metal_.length,
                                            request_.inches ? "in2" : "mm2"),
                        request_.inches ? "in2" : "mm2");
        for (const auto* key :
             {"plenum.area", "plenum.perimeter", "plenum.height", "plenum.diameter"}) {
            drop(draft_.liked, key);
        }
    }
    metal_.plenum_area = known("plenum.area", wanted);
    find_height();
}

void StartWriter::find_height() {
    const std::string across = is_stated("plenum.diameter") ? "plenum.diameter" : "plenum.height";
    const auto fits = [&] {
        return metal_.protrusion + known("runner.wall_clearance", 0) <=
               known(across, HUGE_VAL) + 1e-9;
    };
    if (!fits()) {  // What is given goes before what the shipped case has.
        drop(draft_.liked, "runner.wall_clearance");
    }
    if (!fits()) {
        drop(draft_.liked, "plenum.height");
    }
    double square = std::sqrt(metal_.plenum_area);
    if (is_stated("runner.wall_clearance")) {  // and what rounding takes
        square =
            std::max(square, metal_.protrusion + known("runner.wall_clearance", 0) + millimetre);
    }
    metal_.plenum_height = known(across, square);
    if (!is_stated("runner.protrusion")) {
        metal_.protrusion = std::min(metal_.protrusion, 0.5 * metal_.plenum_height);
    }
}

void StartWriter::find_metal() {
    find_runner();
    if (plan_.feed) {
        drop(draft_.liked, "throttle.position");
        drop(draft_.liked, "throttle.x");
    }
    const bool liked_slot = request_.like.empty() || draft_.liked.contains("slot.width");
    metal_.slot = plan_.slot.value_or(liked_slot || draft_.given.contains("slot.width"));
    if (!metal_.slot) {
        drop(draft_.liked, "slot.");
        drop(draft_.liked, "pre_chamber.");
        drop(draft_.liked, "throttle.feeds");
    }
    if (!request_.like.empty() && metal_.slot && !draft_.liked.contains("slot.width")) {
        drop(draft_.liked, "throttle.feeds");
    }
    find_chambers();
}

}  // namespace plenair::file

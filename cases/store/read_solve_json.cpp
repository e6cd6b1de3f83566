#include "cases/store/read_solve_file.hpp"
#include "cases/store/store.hpp"
#include "cases/study/error.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cerrno>
#include <cstring>
#include <fstream>
#include <iterator>

namespace plenair {

namespace {

using Json = nlohmann::json;
using Values = std::vector<double>;

/// A number, 0 where the field is absent or null: what was not stored reads as 0.
double number(const Json& json, const char* name) {
    const auto found = json.find(name);
    return found == json.end() || found->is_null() ? 0.0 : found->get<double>();
}

double number_in(const Json& json, const char* name, const char* unit) {
    return geometry::from_unit(number(json, name), unit);
}

std::string text(const Json& json, const char* name) {
    return json.contains(name) ? json.at(name).get<std::string>() : "";
}

Values numbers(const Json& json, const char* name) {
    Values values;
    if (!json.contains(name)) return values;
    for (const auto& value : json.at(name)) {
        values.push_back(value.is_null() ? 0.0 : value.get<double>());
    }
    return values;
}

const Json& items(const Json& json, const char* name) {
    static const Json none = Json::array();
    return json.contains(name) ? json.at(name) : none;
}

CylinderResult read_cylinder(const Json& json) {
    CylinderResult c;
    c.cylinder = json.at("cylinder").get<int>();
    c.firing_position = json.at("firing_position").get<int>();
    c.air_delivered = number(json, "air_delivered_kg");
    c.air_trapped = number(json, "air_trapped_kg");
    c.share = number(json, "share");
    c.bias = number_in(json, "bias_percent", "%");
    c.residual_fraction = number(json, "residual_fraction");
    c.mouth_velocity_peak = number(json, "mouth_velocity_peak_m_s");
    return c;
}

void read_state(const Json& json, PointResult& point) {
    point.cycles = json.at("cycles").get<int>();
    point.periodic_residual = number(json, "periodic_residual");
    point.mass_balance = number(json, "mass_balance");
    point.energy_balance = number(json, "energy_balance");
    point.fresh_air_balance = number(json, "fresh_air_balance");
    point.flow_balance = number(json, "flow_balance");
    point.air_flow = number(json, "air_flow_kg_s");
    point.volumetric_efficiency = number(json, "volumetric_efficiency");
    point.spread = number_in(json, "spread_percent", "%");
    point.end_bias = number_in(json, "end_bias_percent", "%");
    point.bias_band = number_in(json, "bias_band_percent", "%");
    const auto& loss = json.at("loss_pa");
    point.throttle_loss = number(loss, "throttle");
    point.slot_loss = number(loss, "slot");
    point.mouth_loss = number(loss, "mouth");
    point.port_loss = number(loss, "port");
    point.slot_mach = number(json, "slot_mach");
    point.slot_to_throttle = number(json, "slot_to_throttle_area_ratio");
    point.choke_margin = number(json, "choke_margin");
    point.inlet_mach_index = number(json, "inlet_mach_index");
}

void read_profiles(const Json& json, PointResult& point) {
    for (const auto& p : items(json, "pressures")) {
        point.pressures.push_back({text(p, "part"),
                                   numbers(p, "x_m"),
                                   numbers(p, "mean_pa"),
                                   numbers(p, "low_pa"),
                                   numbers(p, "high_pa")});
    }
    for (const auto& slot : items(json, "slots")) {
        point.slots.push_back({numbers(slot, "x_m"), numbers(slot, "flow_per_length_kg_s_m")});
    }
    point.crank_angle = numbers(json, "crank_angle_rad");
    for (const auto& trace : items(json, "traces")) {
        point.traces.push_back({text(trace, "quantity"),
                                trace.contains("cylinder") ? trace.at("cylinder").get<int>() : 0,
                                text(trace, "unit"),
                                numbers(trace, "value")});
    }
}

PointResult read_point(const Json& json) {
    PointResult point;
    point.name = json.at("name").get<std::string>();
    point.speed = number_in(json, "speed_rpm", "rpm");
    point.source_pressure = number(json, "source_pressure_pa");
    point.source_temperature = number(json, "source_temperature_k");
    point.converged = json.at("converged").get<bool>();
    point.failure = text(json, "failure");
    read_state(json, point);
    for (const auto& c : items(json, "cylinders")) point.cylinders.push_back(read_cylinder(c));
    read_profiles(json, point);
    point.notes = items(json, "notes").get<std::vector<std::string>>();
    return point;
}

std::string file_text(const std::string& path) {
    errno = 0;
    std::ifstream file(path, std::ios::binary);
    if (!file) {
        throw ReadError(fmt::format("{}: cannot read: {}", path, std::strerror(errno)));
    }
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

void expect_format(const Json& json, const std::string& path) {
    const std::string format = json.is_object() ? text(json, "format") : "";
    const std::string expected = fmt::format("plenair.solve/{}", results_format_version);
    if (format == expected) return;
    if (format.starts_with("plenair.solve/")) {
        throw ReadError(fmt::format(
            "{}: holds {}, written by plenair {}; this program reads {}: solve the case again",
            path,
            format,
            text(json, "version"),
            expected));
    }
    throw ReadError(fmt::format("{}: holds {}, not {}; name a file written by solve -o",
                                path,
                                format.empty() ? "no result" : format,
                                expected));
}

}  // namespace

StoredSolve read_solve_json(const std::string& path) try {
    const Json json = Json::parse(file_text(path));
    expect_format(json, path);
    StoredSolve stored;
    stored.version = text(json, "version");
    SolveResult& result = stored.result;
    result.title = text(json, "title");
    result.case_digest = text(json, "case_digest");
    result.case_text = text(json, "case_text");
    result.summary = text(json, "summary");
    for (const auto& point : json.at("points")) result.points.push_back(read_point(point));
    return stored;
} catch (const Json::exception& error) {
    throw ReadError(fmt::format(
        "{}: not a complete result of solve ({}); solve the case again", path, error.what()));
}

SolveResult read_results_json(const std::string& path) {
    return read_solve_json(path).result;
}

}  // namespace plenair

#include "cases/store/read_solve_file.hpp"

#include "cases/store/grid_reader.hpp"
#include "cases/store/store.hpp"
#include "cases/study/error.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cerrno>
#include <cstring>
#include <fstream>

namespace plenair {

namespace {

using nlohmann::json;

double number(const json& object, const char* name, const char* unit = "") {
    const auto at = object.find(name);
    if (at == object.end() || !at->is_number()) {
        return 0;
    }
    const auto value = at->get<double>();
    return *unit == '\0' ? value : geometry::from_unit(value, unit);
}

CylinderResult read_cylinder(const json& object) {
    CylinderResult c;
    c.cylinder = object.at("cylinder").get<int>();
    c.firing_position = object.at("firing_position").get<int>();
    c.air_delivered = number(object, "air_delivered_kg");
    c.air_trapped = number(object, "air_trapped_kg");
    c.share = number(object, "share");
    c.bias = number(object, "bias_percent", "%");
    c.residual_fraction = number(object, "residual_fraction");
    c.mouth_velocity_peak = number(object, "mouth_velocity_peak_m_s");
    return c;
}

PointResult read_point(const json& object) {
    PointResult p;
    p.name = object.at("name").get<std::string>();
    p.converged = object.at("converged").get<bool>();
    p.failure = object.value("failure", "");
    p.speed = number(object, "speed_rpm", "rpm");
    p.source_pressure = number(object, "source_pressure_pa");
    p.source_temperature = number(object, "source_temperature_k");
    p.cycles = object.at("cycles").get<int>();
    p.periodic_residual = number(object, "periodic_residual");
    p.mass_balance = number(object, "mass_balance");
    p.energy_balance = number(object, "energy_balance");
    p.fresh_air_balance = number(object, "fresh_air_balance");
    p.flow_balance = number(object, "flow_balance");
    p.air_flow = number(object, "air_flow_kg_s");
    p.volumetric_efficiency = number(object, "volumetric_efficiency");
    p.spread = number(object, "spread_percent", "%");
    p.end_bias = number(object, "end_bias_percent", "%");
    p.bias_band = number(object, "bias_band_percent", "%");
    const json& loss = object.at("loss_pa");
    p.throttle_loss = number(loss, "throttle");
    p.slot_loss = number(loss, "slot");
    p.mouth_loss = number(loss, "mouth");
    p.port_loss = number(loss, "port");
    p.slot_mach = number(object, "slot_mach");
    p.slot_to_throttle = number(object, "slot_to_throttle_area_ratio");
    p.choke_margin = number(object, "choke_margin");
    p.inlet_mach_index = number(object, "inlet_mach_index");
    for (const auto& cylinder : object.at("cylinders")) {
        p.cylinders.push_back(read_cylinder(cylinder));
    }
    return p;
}

void expect_solve(const json& object, const std::string& path) {
    const std::string ours = "plenair.solve/1";
    const auto format = object.is_object() ? object.value("format", "no format") : "no format";
    if (format != ours) {
        throw ReadError(
            fmt::format("{}: holds {}, written by plenair {}; this program reads {}: "
                        "solve the case again with -o",
                        path,
                        format,
                        object.is_object() ? object.value("version", "unknown") : "",
                        ours));
    }
}

StoredSolve read_json(const std::string& path) try {
    errno = 0;
    std::ifstream in(path, std::ios::binary);
    if (!in) {
        throw ReadError(fmt::format("{}: cannot be read: {}", path, std::strerror(errno)));
    }
    const json object = json::parse(in);
    expect_solve(object, path);
    StoredSolve stored;
    stored.version = object.at("version").get<std::string>();
    stored.result.title = object.at("title").get<std::string>();
    stored.result.case_digest = object.at("case_digest").get<std::string>();
    stored.result.case_text = object.at("case_text").get<std::string>();
    stored.result.summary = object.at("summary").get<std::string>();
    for (const auto& point : object.at("points")) {
        stored.result.points.push_back(read_point(point));
    }
    return stored;
} catch (const json::exception& error) {
    throw ReadError(fmt::format(
        "{}: is not a result of solve as JSON ({}); solve the case again", path, error.what()));
}

}  // namespace

StoredSolve read_solve_file(const std::string& path) {
    if (path.ends_with(".json")) {
        return read_json(path);
    }
    StoredSolve stored;
    stored.result = read_results(path);
    stored.version = GridReader(path).text_attribute("version");
    return stored;
}

}  // namespace plenair

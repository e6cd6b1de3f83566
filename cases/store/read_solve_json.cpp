#include "cases/store/read_solve_file.hpp"
#include "cases/store/store.hpp"
#include "cases/study/error.hpp"
#include "cases/study/quantities.hpp"

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
double number(const Json& json, const std::string& name) {
    const auto found = json.find(name);
    return found == json.end() || found->is_null() ? 0.0 : found->get<double>();
}

/// A quantity from its field, or from one of an object where the name has a dot: "loss_pa.slot".
template <class Result>
void read(const Json& json, const Quantity<Result>& quantity, Result& result) {
    const std::string name = quantity.json;
    const auto dot = name.find('.');
    result.*quantity.member = quantity.from_exchanged(
        dot == std::string::npos ? number(json, name)
                                 : number(json.at(name.substr(0, dot)), name.substr(dot + 1)));
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
    for (const auto& quantity : cylinder_quantities()) read(json, quantity, c);
    return c;
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
    point.converged = json.at("converged").get<bool>();
    point.failure = text(json, "failure");
    point.cycles = json.at("cycles").get<int>();
    for (const auto& quantity : point_quantities()) read(json, quantity, point);
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

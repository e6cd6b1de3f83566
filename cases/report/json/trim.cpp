#include "cases/report/json.hpp"
#include "cases/report/json/tools.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/report/words/trim_words.hpp"

#include <algorithm>

namespace plenair {

namespace {

Json stage_json(const StageDuty& duty) {
    return {{"flow_duty_percent", json_number(percent(duty.flow))},
            {"commanded_duty_percent", json_number(percent(duty.commanded))},
            {"over_limit", duty.over}};
}

Json duty_json(const TrimResult& result, const CylinderTrim& t) {
    Json json = {{"primary",
                  {{"untrimmed", stage_json(t.duty_untrimmed->primary)},
                   {"trimmed", stage_json(t.duty_trimmed->primary)}}}};
    if (result.injection->secondary) {
        json["secondary"] = {{"untrimmed", stage_json(t.duty_untrimmed->secondary)},
                             {"trimmed", stage_json(t.duty_trimmed->secondary)}};
    }
    return json;
}

Json cylinder_json(const TrimResult& result, const CylinderTrim& t) {
    Json json = {{"cylinder", t.cylinder},
                 {"firing_position", t.firing_position},
                 {"bias_percent", json_number(percent(t.bias))},
                 {"trim_percent", json_number(percent(t.trim))},
                 {"multiplier", json_number(t.multiplier)},
                 {"trim_unrounded_percent", json_number(percent(t.exact))},
                 {"lambda_untrimmed", json_number(t.lambda_untrimmed)},
                 {"lambda_trimmed", json_number(t.lambda_trimmed)},
                 {"fuel_untrimmed_kg_s", json_number(t.fuel_untrimmed)},
                 {"fuel_trimmed_kg_s", json_number(t.fuel_trimmed)}};
    if (result.injection && t.duty_untrimmed && t.duty_trimmed) {
        json["duty"] = duty_json(result, t);
    }
    return json;
}

Json nitrous_json(const NitrousCylinder& n) {
    return {{"cylinder", n.cylinder},
            {"firing_position", n.firing_position},
            {"nitrous_kg_s", json_number(n.flow)},
            {"oxygen_kg_s", json_number(n.oxygen)},
            {"extra_fuel_kg_s", json_number(n.extra_fuel)},
            {"lambda_without_extra_fuel", json_number(n.lambda_without_fuel)},
            {"lambda_nitrous_line_10_percent_low", json_number(n.lambda_nitrous_low)},
            {"lambda_fuel_line_10_percent_low", json_number(n.lambda_fuel_low)}};
}

Json point_json(const TrimResult& result, const TrimPoint& point) {
    Json json = {{"name", point.name},
                 {"curve", point.curve.empty() ? Json(nullptr) : Json(point.curve)},
                 {"speed_rpm", json_number(converted(point.speed, "rpm"))},
                 {"source_pressure_pa", json_number(point.source_pressure)},
                 {"trims_issued", point.issued}};
    if (!point.issued) {
        json["failure"] = point.failure;
        return json;
    }
    json["plenum_pressure_pa"] = json_number(point.plenum_pressure);
    json["air_flow_kg_s"] = json_number(point.air_flow);
    json["lambda_target"] = json_number(point.lambda);
    json["spread_percent"] = json_number(percent(point.spread));
    if (point.banks.size() > 1) {
        json["banks"] = Json::array();
        for (const auto& bank : point.banks) {
            json["banks"].push_back({{"bank", bank.name},
                                     {"cylinders_along_x", bank.cylinders},
                                     {"share", json_number(bank.share)},
                                     {"spread_percent", json_number(percent(bank.spread))}});
        }
    }
    json["bias_band_percent"] =
        point.bias_band > 0 ? json_number(percent(point.bias_band)) : Json(nullptr);
    json["moved_mean_percent"] = json_number(percent(point.moved_mean));
    if (result.injection) {
        json["second_stage_pulse_ratio"] = json_number(point.second_stage_ratio);
    }
    json["leanest_cylinder"] = point.leanest;
    json["lean_margin_lambda"] = json_number(point.lean_margin);
    json["risk"] = point.risk;
    json["cylinders"] = Json::array();
    for (const auto& t : point.cylinders) json["cylinders"].push_back(cylinder_json(result, t));
    if (!point.nitrous.empty()) {
        json["nitrous_estimate"] = Json::array();
        for (const auto& n : point.nitrous) json["nitrous_estimate"].push_back(nitrous_json(n));
    }
    return json;
}

Json injection_json(const TrimResult& result) {
    const auto& in = *result.injection;
    const auto stage = [&](const InjectorStage& s) {
        const double density = result.fuel.density.value_or(s.rated_density);
        return Json{{"effective_flow_m3_s", json_number(effective_flow(s, in.pressure, density))},
                    {"dead_time_s", json_number(s.dead_time)},
                    {"duty_limit_percent", json_number(percent(s.duty_limit))}};
    };
    Json json = {{"pressure_difference_pa", json_number(in.pressure)},
                 {"primary", stage(in.primary)}};
    if (in.secondary) {
        json["secondary"] = stage(*in.secondary);
        json["staging_pressure_pa"] = json_number(in.staging_pressure);
        json["staging_speed_rpm"] = json_number(converted(in.staging_speed, "rpm"));
        json["equal_pressure_pa"] = json_number(in.equal_pressure);
    }
    return json;
}

Json fixed_json(const FixedTrim& fixed) {
    return {{"trims_of", fixed.from},
            {"at", fixed.at},
            {"spread_untrimmed_percent", json_number(percent(fixed.spread_untrimmed))},
            {"spread_fixed_percent", json_number(percent(fixed.spread_fixed))},
            {"worse_than_no_trim", fixed.worse},
            {"leanest_cylinder", fixed.leanest},
            {"lean_margin_lambda", json_number(fixed.lean_margin)}};
}

Json map_json(const TrimResult& result) {
    Json speeds = Json::array();
    for (const double speed : result.map_speeds) {
        speeds.push_back(json_number(converted(speed, "rpm")));
    }
    Json json = {{"speed_rpm", speeds},
                 {"plenum_pressure_pa", json_numbers(result.map_pressures)},
                 {"cylinders", Json::array()}};
    const std::size_t loads = std::max<std::size_t>(1, result.map_pressures.size());
    for (const auto& map : result.map) {
        Json rows = Json::array();
        for (std::size_t i = 0; i < map.trim.size(); ++i) {
            if (i % loads == 0) rows.push_back(Json::array());
            rows.back().push_back(map.trim[i] ? json_number(percent(*map.trim[i])) : Json(nullptr));
        }
        json["cylinders"].push_back({{"cylinder", map.cylinder},
                                     {"firing_position", map.firing_position},
                                     {"trim_percent", rows}});
    }
    return json;
}

}  // namespace

std::string json_text(const TrimResult& result) {
    Json json = json_head("plenair.trim/1", result.title, result.case_digest);
    json["sign"] = trim_sign();
    json["step_percent"] = json_number(percent(result.step));
    json["converged"] = result.converged();
    json["fuel"] = {
        {"name", result.fuel.name},
        {"stoichiometric_air_fuel_ratio", json_number(result.fuel.stoich)},
        {"density_kg_m3", result.fuel.density ? json_number(*result.fuel.density) : Json(nullptr)}};
    if (result.injection) json["injection"] = injection_json(result);
    json["points"] = Json::array();
    for (const auto& point : result.points) json["points"].push_back(point_json(result, point));
    json["fixed_trims"] = Json::array();
    for (const auto& fixed : result.fixed) json["fixed_trims"].push_back(fixed_json(fixed));
    if (!result.map.empty()) json["map"] = map_json(result);
    json["warnings"] = result.warnings;
    json["errors"] = result.errors;
    json["case_text"] = result.case_text;
    return json_dump(json);
}

}  // namespace plenair

#include "cases/report/json.hpp"
#include "cases/report/json_tools.hpp"
#include "cases/report/numbers.hpp"
#include "cases/study/trim.hpp"

namespace plenair {

namespace {

/// @param trims  none where the point did not converge
Json cylinder_json(const CylinderResult& c, const std::optional<Trims>& trims, std::size_t place) {
    Json json = {{"cylinder", c.cylinder}, {"firing_position", c.firing_position}};
    if (!trims) return json;
    json["air_delivered_kg"] = json_number(c.air_delivered);
    json["air_trapped_kg"] = json_number(c.air_trapped);
    json["share"] = json_number(c.share);
    json["bias_percent"] = json_number(percent(c.bias));
    json["trim_percent"] = json_number(percent(trims->rounded.at(place)));
    json["residual_fraction"] = json_number(c.residual_fraction);
    json["mouth_velocity_peak_m_s"] = json_number(c.mouth_velocity_peak);
    return json;
}

void add_state(Json& json, const PointResult& point) {
    json["cycles"] = point.cycles;
    json["periodic_residual"] = json_number(point.periodic_residual);
    json["mass_balance"] = json_number(point.mass_balance);
    json["energy_balance"] = json_number(point.energy_balance);
    json["fresh_air_balance"] = json_number(point.fresh_air_balance);
    json["flow_balance"] = json_number(point.flow_balance);
    json["air_flow_kg_s"] = json_number(point.air_flow);
    json["volumetric_efficiency"] = json_number(point.volumetric_efficiency);
}

void add_distribution(Json& json, const PointResult& point) {
    json["spread_percent"] = json_number(percent(point.spread));
    json["end_bias_percent"] = json_number(percent(point.end_bias));
    // A band of 0 would claim certainty; it means that none was computed.
    json["bias_band_percent"] =
        point.bias_band > 0 ? json_number(percent(point.bias_band)) : Json(nullptr);
}

void add_profiles(Json& json, const PointResult& point) {
    json["pressures"] = Json::array();
    for (const auto& profile : point.pressures) {
        json["pressures"].push_back({{"part", profile.part},
                                     {"x_m", json_numbers(profile.x)},
                                     {"mean_pa", json_numbers(profile.mean)},
                                     {"low_pa", json_numbers(profile.low)},
                                     {"high_pa", json_numbers(profile.high)}});
    }
    json["slots"] = Json::array();
    for (const auto& slot : point.slots) {
        json["slots"].push_back({{"x_m", json_numbers(slot.x)},
                                 {"flow_per_length_kg_s_m", json_numbers(slot.flow_per_length)}});
    }
}

void add_traces(Json& json, const PointResult& point) {
    if (point.traces.empty()) return;
    json["crank_angle_rad"] = json_numbers(point.crank_angle);
    json["traces"] = Json::array();
    for (const auto& trace : point.traces) {
        Json entry = {{"quantity", trace.quantity}};
        if (trace.cylinder > 0) entry["cylinder"] = trace.cylinder;
        entry["unit"] = trace.unit;
        entry["value"] = json_numbers(trace.value);
        json["traces"].push_back(std::move(entry));
    }
}

Json point_json(const PointResult& point) {
    Json json = {{"name", point.name},
                 {"speed_rpm", json_number(converted(point.speed, "rpm"))},
                 {"source_pressure_pa", json_number(point.source_pressure)},
                 {"source_temperature_k", json_number(point.source_temperature)},
                 {"converged", point.converged}};
    if (!point.converged) json["failure"] = point.failure;
    add_state(json, point);
    if (point.converged) add_distribution(json, point);
    json["loss_pa"] = {{"throttle", json_number(point.throttle_loss)},
                       {"slot", json_number(point.slot_loss)},
                       {"mouth", json_number(point.mouth_loss)},
                       {"port", json_number(point.port_loss)}};
    json["slot_mach"] = json_number(point.slot_mach);
    json["slot_to_throttle_area_ratio"] = json_number(point.slot_to_throttle);
    json["choke_margin"] = json_number(point.choke_margin);
    json["inlet_mach_index"] = json_number(point.inlet_mach_index);
    const auto trims = usual_trims(point);
    if (trims) {
        json["trim_step_percent"] = json_number(percent(TrimOptions{}.step));
        json["trim_moved_mean_percent"] = json_number(percent(trims->moved_mean));
    }
    json["cylinders"] = Json::array();
    for (std::size_t i = 0; i < point.cylinders.size(); ++i) {
        json["cylinders"].push_back(cylinder_json(point.cylinders[i], trims, i));
    }
    add_profiles(json, point);
    json["notes"] = point.notes;
    add_traces(json, point);
    return json;
}

}  // namespace

std::string json_text(const SolveResult& result) {
    Json json = json_head("plenair.solve/1", result.title, result.case_digest);
    json["points"] = Json::array();
    bool all_converged = !result.points.empty();
    for (const auto& point : result.points) {
        json["points"].push_back(point_json(point));
        all_converged = all_converged && point.converged;
    }
    json["converged"] = all_converged;
    json["summary"] = result.summary;
    json["case_text"] = result.case_text;
    return json_dump(json);
}

}  // namespace plenair

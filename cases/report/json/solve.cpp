#include "cases/report/json.hpp"
#include "cases/report/json/quantities.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/study/trim.hpp"

#include <array>

namespace plenair {

namespace {

/// @param trims  none where the point did not converge
Json cylinder_json(const PointResult& point, const std::optional<Trims>& trims, std::size_t place) {
    const CylinderResult& c = point.cylinders[place];
    Json json = {{"cylinder", c.cylinder}, {"firing_position", c.firing_position}};
    if (point.banks.size() > 1) {
        json["bank"] = point.banks.at(static_cast<std::size_t>(c.bank)).name;
    }
    add_quantities(json, c, trims.has_value());
    if (trims) json["trim_percent"] = json_number(percent(trims->rounded.at(place)));
    return json;
}

/// Who breathes from a bank, who of them stands at its ends, and what they get.
Json bank_json(const BankResult& bank, bool converged) {
    Json json = {{"bank", bank.name},
                 {"cylinders_along_x", bank.cylinders},
                 {"cylinders_at_start", bank.first},
                 {"cylinders_at_far_end", bank.last}};
    add_quantities(json, bank, converged);
    return json;
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
        json["slots"].push_back({{"bank", slot.bank},
                                 {"x_m", json_numbers(slot.x)},
                                 {"flow_per_length_kg_s_m", json_numbers(slot.flow_per_length)}});
    }
}

/// Places where gas reaches the speed of sound; nothing where there is none.
void add_sonic(Json& json, const PointResult& point) {
    constexpr std::array parts = {"runner", "valve", "throttle", "chamber", "slot"};
    constexpr std::array places = {"start", "end", "inside"};
    for (const auto& s : point.sonic) {
        const bool at_an_end = s.place != SonicSection::Place::inside;
        Json entry = {{"part", parts.at(static_cast<std::size_t>(s.part))},
                      {"place", places.at(static_cast<std::size_t>(s.place))}};
        if (s.cylinder > 0) entry["cylinder"] = s.cylinder;
        if (!s.chamber.empty()) entry["chamber"] = s.chamber;
        if (!s.bank.empty()) entry["bank"] = s.bank;
        if (!at_an_end) entry["x_m"] = json_numbers({s.x, s.x_to});
        entry["whole_cycle"] = s.always;
        if (!s.always) {
            entry["from_deg"] = json_number(converted(s.from, "deg"));
            entry["to_deg"] = json_number(converted(s.to, "deg"));
            entry["at_other_angles"] = s.again;
        }
        entry["share_percent"] = json_number(percent(s.share));
        entry["blows_back"] = s.back;
        json["sonic"].push_back(std::move(entry));
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
    Json json = {{"name", point.name}};
    add_quantities(json, point, true);
    json["converged"] = point.converged;
    if (!point.converged) json["failure"] = point.failure;
    json["cycles"] = point.cycles;
    add_quantities(json, point, false);
    const auto trims = usual_trims(point);
    if (trims) {
        json["trim_step_percent"] = json_number(percent(TrimOptions{}.step));
        json["trim_moved_mean_percent"] = json_number(percent(trims->moved_mean));
    }
    json["cylinders"] = Json::array();
    for (std::size_t i = 0; i < point.cylinders.size(); ++i) {
        json["cylinders"].push_back(cylinder_json(point, trims, i));
    }
    if (!point.band_parts.empty()) {
        json["band_parts"] = Json::array();
        for (const auto& part : point.band_parts) {
            Json entry = {{"name", part.name}};
            add_quantities(entry, part);
            json["band_parts"].push_back(std::move(entry));
        }
    }
    json["banks"] = Json::array();
    for (const auto& bank : point.banks) json["banks"].push_back(bank_json(bank, point.converged));
    add_profiles(json, point);
    json["notes"] = point.notes;
    add_sonic(json, point);
    add_traces(json, point);
    return json;
}

Json curve_json(const SolveResult& result, const CurveResult& curve) {
    Json json = {{"name", curve.name}, {"points", Json::array()}};
    for (std::size_t i = 0; i < curve.count; ++i) {
        json["points"].push_back(result.points.at(curve.first + i).name);
    }
    json["worst"] = curve.worst ? point_json(*curve.worst) : Json(nullptr);
    if (curve.worst) {
        json["worst_speed_known_to_rpm"] = json_number(converted(curve.speed_uncertainty, "rpm"));
        json["worst_above_steps_percent"] = json_number(percent(curve.spread_gain));
    }
    return json;
}

Json reasons_json(const Reasons& reasons) {
    Json json = {{"point", reasons.point},
                 {"spread_percent", json_number(percent(reasons.spread))},
                 {"words", reasons.words},
                 {"causes", Json::array()},
                 {"rest_spread_percent", json_number(percent(reasons.rest))},
                 {"sensitivities", Json::array()}};
    for (const auto& part : reasons.parts) {
        json["causes"].push_back(
            {{"name", part.name}, {"spread_percent", json_number(percent(part.spread))}});
    }
    for (const auto& each : reasons.sensitivities) {
        json["sensitivities"].push_back({{"key", each.key},
                                         {"change", each.change},
                                         {"spread_percent", json_number(percent(each.spread))},
                                         {"slot_loss_pa", json_number(each.slot_loss)}});
    }
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
    if (!result.curves.empty()) {
        json["curves"] = Json::array();
        for (const auto& curve : result.curves) json["curves"].push_back(curve_json(result, curve));
    }
    if (!result.reasons.point.empty()) json["reasons"] = reasons_json(result.reasons);
    json["converged"] = all_converged;
    json["summary"] = result.summary;
    json["assumed"] = json_assumed(result.assumed);
    json["case_text"] = result.case_text;
    return json_dump(json);
}

}  // namespace plenair

#include "cases/report/json.hpp"
#include "cases/report/json/tools.hpp"
#include "cases/report/words/numbers.hpp"

namespace plenair {

namespace {

void add_flow(Json& json, const BenchResult& set_up, const BenchNumbers& numbers) {
    json["flow_kg_s"] = json_number(set_up.flow);
    json["flow_cfm"] = json_number(converted(numbers.volume_flow, "CFM"));
    json["cfm_density_kg_m3"] = json_number(numbers.cfm_density);
    json["flow_per_runner_kg_s"] = json_numbers(set_up.flow_per_runner);
    json["runners"] = set_up.runners;
    if (!numbers.bias.empty()) {
        Json bias = Json::array();
        for (const auto& one : numbers.bias) {
            bias.push_back(one ? json_number(percent(*one)) : Json(nullptr));
        }
        json["bias_per_runner_percent"] = std::move(bias);
        json["runner_spread_percent"] = json_number(percent(runner_spread(numbers)));
    }
    // A band of 0 would claim certainty; it means that none was computed.
    json["bias_band_percent"] =
        set_up.bias_band > 0 ? json_number(percent(set_up.bias_band)) : Json(nullptr);
    if (set_up.cd > 0) {
        json["cd"] = json_number(set_up.cd);
        json["reference_area_m2"] = json_number(set_up.reference_area);
    }
    if (set_up.outlet_flow != 0) json["outlet_flow_kg_s"] = json_number(set_up.outlet_flow);
    if (set_up.valve) {
        const ValveFlow& v = *set_up.valve;
        json["valve"] = {{"cylinders", v.cylinders},
                         {"lift_m", json_number(v.lift)},
                         {"lift_over_diameter", json_number(v.lift_over_diameter)},
                         {"cd_curtain", json_number(v.cd_curtain)},
                         {"cd_seat", json_number(v.cd_seat)},
                         {"cd_head", json_number(v.cd_head)},
                         {"cd_valve", json_number(v.cd_valve)}};
    }
}

void add_slot(Json& json, const BenchResult& set_up, const BenchNumbers& numbers) {
    json["x_m"] = json_numbers(set_up.x);
    json["flow_per_length_kg_s_m"] = json_numbers(set_up.flow_per_length);
    if (numbers.slot) {
        const double start = numbers.slot->start_over_mean, far = numbers.slot->far_over_mean;
        json["start_over_mean"] = json_number(start);
        json["far_over_mean"] = json_number(far);
        // Only a header that is fed at one end has an inlet end and a closed one.
        if (set_up.feed != BenchFeed::elsewhere) {
            const bool from_start = set_up.feed == BenchFeed::start;
            json["inlet_over_mean"] = json_number(from_start ? start : far);
            json["closed_over_mean"] = json_number(from_start ? far : start);
        }
        json["spread_percent"] = json_number(percent(numbers.slot->spread));
    }
    json["hole_flow_kg_s"] = json_numbers(set_up.hole_flow);
}

Json set_up_json(const BenchResult& set_up, double reference_density) {
    const BenchNumbers numbers = bench_numbers(set_up, reference_density);
    Json json = {{"name", set_up.name}, {"bank", set_up.bank}, {"converged", set_up.converged}};
    if (!set_up.converged) json["failure"] = set_up.failure;
    json["iterations"] = set_up.iterations;
    json["residual"] = json_number(set_up.residual);
    json["depression_pa"] = json_number(set_up.depression);
    json["density_kg_m3"] = json_number(set_up.density);
    if (set_up.converged) {
        add_flow(json, set_up, numbers);
        add_slot(json, set_up, numbers);
        json["pressure_x_m"] = json_numbers(set_up.pressure_x);
        json["static_pressure_pa"] = json_numbers(set_up.static_pressure);
    }
    json["notes"] = set_up.notes;
    return json;
}

}  // namespace

std::string json_text(const BenchStudyResult& result) {
    Json json = json_head("plenair.bench/1", result.title, result.case_digest);
    json["set_ups"] = Json::array();
    bool all_converged = !result.set_ups.empty();
    for (const auto& set_up : result.set_ups) {
        json["set_ups"].push_back(set_up_json(set_up, result.reference_density));
        all_converged = all_converged && set_up.converged;
    }
    json["converged"] = all_converged;
    json["assumed"] = json_assumed(result.assumed);
    json["case_text"] = result.case_text;
    return json_dump(json);
}

}  // namespace plenair

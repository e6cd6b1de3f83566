#include "cases/report/choose.hpp"
#include "cases/report/csv/cell.hpp"
#include "cases/report/json/tools.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/study/version.hpp"

#include <fmt/format.h>

namespace plenair {

namespace {

const char* word_of(Aim aim) {
    switch (aim) {
        case Aim::spread:
            return "spread";
        case Aim::slot_loss:
            return "slot_loss";
        case Aim::total_loss:
            return "total_loss";
        case Aim::air:
            return "air";
        case Aim::front:
            return "front";
        case Aim::evenness:
            return "evenness";
    }
    return "";
}

std::string shown_unit_of(const FreeNumber& number) {
    const auto first = number.unit.find_first_not_of(' ');
    return first == std::string::npos ? "1" : number.unit.substr(first);
}

Json point_json(const PointResult& point) {
    Json json = {{"name", point.name},
                 {"speed_rpm", json_number(converted(point.speed, "rpm"))},
                 {"converged", point.converged}};
    if (!point.converged) {
        json["failure"] = point.failure;
        return json;
    }
    json["spread_percent"] = json_number(percent(point.spread));
    json["end_bias_percent"] = json_number(percent(point.end_bias));
    json["bias_band_percent"] =
        point.bias_band > 0 ? json_number(percent(point.bias_band)) : Json(nullptr);
    json["slot_loss_pa"] = json_number(point.slot_loss);
    json["total_loss_pa"] =
        json_number(point.throttle_loss + point.slot_loss + point.mouth_loss + point.port_loss);
    json["air_flow_kg_s"] = json_number(point.air_flow);
    json["choke_margin"] = json_number(point.choke_margin);
    json["cylinders"] = Json::array();
    for (const auto& c : point.cylinders) {
        json["cylinders"].push_back(
            {{"cylinder", c.cylinder}, {"bias_percent", json_number(percent(c.bias))}});
    }
    return json;
}

Json design_json(const Design& design) {
    Json json = {{"converged", design.known}, {"numbers", json_numbers(design.numbers)}};
    if (!design.known) return json;
    const bool rig = !design.set_ups.empty();
    json[rig ? "unevenness_percent" : "worst_spread_percent"] =
        json_number(percent(design.worst_spread));
    if (!rig) json["mean_slot_loss_percent"] = json_number(percent(design.slot_loss));
    json[rig ? "flow_kg_s" : "mean_air_flow_kg_s"] = json_number(design.air);
    if (!design.points.empty()) {
        json["points"] = Json::array();
        for (const auto& point : design.points) json["points"].push_back(point_json(point));
    }
    if (rig) {
        json["set_ups"] = Json::array();
        for (const auto& set_up : design.set_ups) {
            json["set_ups"].push_back(
                {{"name", set_up.name},
                 {"unevenness_percent", json_number(percent(unevenness(set_up)))},
                 {"flow_kg_s", json_number(set_up.flow)},
                 {"x_m", json_numbers(set_up.x)},
                 {"flow_per_length_kg_s_m", json_numbers(set_up.flow_per_length)},
                 {"flow_per_runner_kg_s", json_numbers(set_up.flow_per_runner)}});
        }
    }
    return json;
}

Json number_json(const ChooseResult& result, std::size_t k) {
    const auto& number = result.numbers[k];
    Json json = {{"entry", number.key},
                 {"unit", shown_unit_of(number)},
                 {"present", json_number(number.present)},
                 {"chosen", json_number(result.chosen.numbers.at(k))},
                 {"from", json_number(number.low)},
                 {"to", json_number(number.high)},
                 {"step", json_number(number.step)}};
    if (k < result.steps.size() && result.steps[k].known) {
        const auto& step = result.steps[k];
        json["one_step"] = {{"change", json_number(step.step)},
                            {"spread_percent", json_number(percent(step.spread))},
                            {"slot_loss_percent", json_number(percent(step.slot_loss))},
                            {"air_percent", json_number(percent(step.air))}};
        json["as_good_from"] = json_number(step.flat_low);
        json["as_good_to"] = json_number(step.flat_high);
    }
    return json;
}

}  // namespace

std::string json_text(const ChooseResult& result) {
    Json json = json_head("plenair.choose/1", result.title, result.case_digest);
    json["chosen_case_digest"] = result.chosen_digest;
    json["make_best"] = word_of(result.aim);
    json["seed"] = result.seed;
    json["designs_solved"] = result.variants;
    json["designs_failed"] = result.failed;
    json["converged"] = result.converged();
    json["all_limits_met"] = result.all_met;
    json["sentences"] = result.sentences;
    json["numbers"] = Json::array();
    for (std::size_t k = 0; k < result.numbers.size(); ++k) {
        json["numbers"].push_back(number_json(result, k));
    }
    json["limits"] = Json::array();
    for (const auto& limit : result.limits) {
        json["limits"].push_back({{"text", limit.text},
                                  {"met", limit.met},
                                  {"binds", limit.binds},
                                  {"value_si", json_number(limit.value)},
                                  {"shown", limit.shown},
                                  {"at", limit.at},
                                  {"price", limit.price}});
    }
    json["present"] = design_json(result.present);
    json["chosen"] = design_json(result.chosen);
    json["no_slot"] = result.no_slot ? design_json(*result.no_slot) : Json(nullptr);
    if (result.made) {
        const auto& made = *result.made;
        json["made_parts"] = {{"wanted_percent", json_number(percent(made.wanted))},
                              {"parts", made.odds.parts},
                              {"good", made.odds.good},
                              {"odds_percent", json_number(percent(made.odds.share))},
                              {"odds_low_percent", json_number(percent(made.odds.low))},
                              {"odds_high_percent", json_number(percent(made.odds.high))},
                              {"worst_spread_percent", json_number(percent(made.spread))}};
    }
    json["others_as_good"] = Json::array();
    for (const auto& other : result.others) json["others_as_good"].push_back(design_json(other));
    json["front"] = Json::array();
    for (const auto& design : result.front) {
        json["front"].push_back({{"name", design.name},
                                 {"numbers", json_numbers(design.numbers)},
                                 {"worst_spread_percent", json_number(percent(design.spread))},
                                 {"mean_slot_loss_percent", json_number(percent(design.slot_loss))},
                                 {"mean_air_flow_kg_s", json_number(design.air)},
                                 {"not_beaten", design.best}});
    }
    json["sets"] = result.sets;
    json["case_text"] = result.case_text;
    return json_dump(json);
}

std::string csv_text(const ChooseResult& result) {
    std::string text =
        "entry_text,unit_text,present_unit,chosen_unit,from_unit,to_unit,step_unit,"
        "one_step_spread_percent,one_step_slot_loss_percent,one_step_air_percent,case_digest,"
        "version\n";
    for (std::size_t k = 0; k < result.numbers.size(); ++k) {
        const auto& n = result.numbers[k];
        const bool known = k < result.steps.size() && result.steps[k].known;
        const StepEffect step = known ? result.steps[k] : StepEffect{};
        const auto of_step = [&](double value) {
            return known ? csv_cell(percent(value)) : std::string();
        };
        text += fmt::format("{},{},{},{},{},{},{},{},{},{},{},{}\n",
                            csv_cell(n.key),
                            csv_cell(shown_unit_of(n)),
                            csv_cell(n.present),
                            csv_cell(result.chosen.numbers.at(k)),
                            csv_cell(n.low),
                            csv_cell(n.high),
                            csv_cell(n.step),
                            of_step(step.spread),
                            of_step(step.slot_loss),
                            of_step(step.air),
                            csv_cell(result.case_digest),
                            csv_cell(version()));
    }
    return text;
}

}  // namespace plenair

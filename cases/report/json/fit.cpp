#include "cases/report/fit.hpp"
#include "cases/report/json/tools.hpp"
#include "cases/report/words/numbers.hpp"

namespace plenair {

namespace {

Json entries_json(const FitResult& result) {
    Json list = Json::array();
    for (const auto& e : result.entries) {
        list.push_back({{"entry", e.key},
                        {"whose", e.whose},
                        {"unit", e.unit == "mm" ? "m" : ""},
                        {"before", json_number(e.before)},
                        {"before_band", e.before_half > 0 ? json_number(e.before_half) : Json()},
                        {"after", json_number(e.after)},
                        {"after_band", json_number(e.after_half)},
                        {"gauged", e.gauged},
                        {"at_bound", e.at_bound}});
    }
    return list;
}

Json readings_json(const FitResult& result) {
    Json list = Json::array();
    for (const auto& r : result.all_readings) {
        list.push_back({{"name", r.name},
                        {"value", json_number(r.value)},
                        {"band", json_number(r.half)},
                        {"before", json_number(r.before)},
                        {"after", json_number(r.after)},
                        {"residual_over_deviation", json_number(r.residual)},
                        {"misfit", r.misfit}});
    }
    return list;
}

Json air_json(const FitResult& result) {
    const auto percents = [](const std::vector<double>& ratios) {
        Json list = Json::array();
        for (const double r : ratios) {
            list.push_back(json_number(percent(r)));
        }
        return list;
    };
    Json list = Json::array();
    for (const auto& a : result.air) {
        list.push_back({{"point", a.point},
                        {"bias_before_percent", percents(a.before)},
                        {"bias_before_band_percent", percents(a.before_half)},
                        {"bias_after_percent", percents(a.after)},
                        {"bias_after_band_percent", percents(a.after_half)},
                        {"spread_before_percent", json_number(percent(a.spread_before))},
                        {"spread_before_band_percent", json_number(percent(a.spread_before_half))},
                        {"spread_after_percent", json_number(percent(a.spread_after))},
                        {"spread_after_band_percent", json_number(percent(a.spread_after_half))}});
    }
    return list;
}

const char* kind_word(FaultKind kind) {
    switch (kind) {
        case FaultKind::injector:
            return "injector";
        case FaultKind::sensor:
            return "sensor";
        case FaultKind::runner:
            return "runner";
        case FaultKind::leak:
            return "leak";
        default:
            return "reading";
    }
}

Json engine_json(const FitResult& result) {
    Json faults = Json::array();
    for (const auto& f : result.faults) {
        faults.push_back({{"kind", kind_word(f.kind)},
                          {"cylinder", f.cylinder},
                          {"probability", json_number(f.probability)},
                          {"size", json_number(f.size)},
                          {"named", f.named},
                          {"text", f.text}});
    }
    Json splits = Json::array();
    for (const auto& s : result.splits) {
        splits.push_back({{"cylinder", s.cylinder},
                          {"measured", s.measured},
                          {"excess_lambda", json_number(s.excess)},
                          {"air_lambda", json_number(s.air)},
                          {"injector_lambda", json_number(s.injector)},
                          {"sensor_lambda", json_number(s.sensor)},
                          {"unexplained_lambda", json_number(s.unexplained)},
                          {"probability_air", json_number(s.probability_air)},
                          {"probability_injector", json_number(s.probability_injector)},
                          {"probability_sensor", json_number(s.probability_sensor)},
                          {"probability_none", json_number(s.probability_none)}});
    }
    Json trims = Json::array();
    for (const auto& t : result.trims) {
        trims.push_back({{"point", t.point},
                         {"cylinder", t.cylinder},
                         {"measured", t.measured},
                         {"lambda", json_number(t.lambda)},
                         {"lambda_band", json_number(t.lambda_half)},
                         {"trim_percent", json_number(percent(t.trim))},
                         {"trim_band_percent", json_number(percent(t.half))}});
    }
    return {{"probability_of_no_fault", json_number(result.no_fault)},
            {"faults", faults},
            {"splits", splits},
            {"trims", trims}};
}

Json taps_json(const FitResult& result) {
    Json list = Json::array();
    for (const auto& tap : result.taps) {
        Json places = Json::array();
        for (const auto& place : tap.places) {
            Json means = Json::array();
            for (const auto& at_point : place.drawing_pressure) {
                means.push_back(json_numbers(at_point));
            }
            places.push_back({{"x_m", json_number(place.x)},
                              {"in_bell_mouth", place.in_mouth},
                              {"unlike_pa", json_numbers(place.unlike)},
                              {"mean_while_drawing_pa", means}});
        }
        list.push_back({{"bank", tap.bank},
                        {"points", tap.points},
                        {"cylinders", tap.cylinders},
                        {"places", places},
                        {"best", tap.best},
                        {"words", tap.words}});
    }
    return list;
}

}  // namespace

std::string json_text(const FitResult& result) {
    Json json = json_head("plenair.fit/1", result.title, result.case_digest);
    json["measured_title"] = result.measured_title;
    json["made_up"] = result.made_up;
    json["converged"] = result.converged;
    json["failure"] = result.failure;
    json["summary"] = result.summary;
    json["readings"] = result.readings;
    json["solutions"] = result.solutions;
    json["squares_before"] = json_number(result.sum_before);
    json["squares_after"] = json_number(result.sum_after);
    json["entries"] = entries_json(result);
    json["all_readings"] = readings_json(result);
    json["alike"] = result.alike;
    json["air"] = air_json(result);
    json["engine"] = engine_json(result);
    json["next"] = Json::array();
    for (const auto& n : result.next) {
        json["next"].push_back({{"what", n.what},
                                {"effort", json_number(n.effort)},
                                {"spread_narrows_percent", json_number(percent(n.spread_narrows))},
                                {"entry", n.entry},
                                {"entry_narrows_percent", json_number(percent(n.entry_narrows))}});
    }
    json["pressure_taps"] = taps_json(result);
    json["joint"] = {{"entries", result.joint.entries},
                     {"deviation", json_numbers(result.joint.deviation)},
                     {"correlation", json_numbers(result.joint.correlation)}};
    json["slot_cd"] = Json::array();  // by bank
    for (const double cd : result.slot_cd) {
        json["slot_cd"].push_back(cd > 0 ? json_number(cd) : Json());
    }
    json["notes"] = result.notes;
    json["assumed_uncertainties"] = result.defaults;
    json["warnings"] = result.warnings;
    return json_dump(json);
}

}  // namespace plenair

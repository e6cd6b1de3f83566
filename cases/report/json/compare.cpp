#include "cases/report/compare.hpp"
#include "cases/report/json/tools.hpp"
#include "cases/report/words/numbers.hpp"

namespace plenair {

namespace {

Json optional_percent(const std::optional<double>& ratio) {
    return ratio ? json_number(percent(*ratio)) : Json(nullptr);
}

Json mark_json(const CompareMark& mark) {
    Json json = {{"converged", mark.converged}};
    if (!mark.converged) return json;
    json["spread_percent"] = json_number(percent(mark.spread));
    if (!mark.worst_point.empty()) json["worst_point"] = mark.worst_point;
    json["slot_loss_pa"] = json_number(mark.slot_loss);
    json["weighed_loss_pa"] = json_number(mark.loss);
    json["air_flow_kg_s"] = json_number(mark.air_flow);
    json["air_lost_percent"] = optional_percent(mark.air_lost);
    json["knee_distance"] = mark.knee_distance ? json_number(*mark.knee_distance) : Json(nullptr);
    json["best"] = mark.best;
    return json;
}

Json value_name(const CompareResult& result, const std::optional<std::size_t>& place) {
    return place ? Json(result.values[*place]) : Json(nullptr);
}

Json curve_json(const CompareResult& result, const CompareCurve& curve) {
    Json json;
    if (!curve.point.empty()) json["point"] = curve.point;
    json["knee"] = value_name(result, curve.knee);
    json["second"] = value_name(result, curve.second);
    json["settled"] = value_name(result, curve.settled);
    json["band_percent"] = json_number(percent(curve.band));
    json["spread_differs"] = curve.differs;
    json["verdict"] = curve.verdict;
    if (!curve.slot_verdict.empty()) json["slot_verdict"] = curve.slot_verdict;
    json["values"] = Json::array();
    for (std::size_t v = 0; v < result.values.size(); ++v) {
        Json entry = {{"value", result.values[v]}};
        entry.update(mark_json(curve.marks[v]));
        json["values"].push_back(std::move(entry));
    }
    if (curve.no_slot) json["no_slot"] = mark_json(*curve.no_slot);
    return json;
}

Json failures_json(const CompareResult& result) {
    Json json = Json::array();
    const auto add = [&json](const Json& value, const std::vector<PointResult>& points) {
        for (const auto& point : points) {
            if (!point.converged) {
                json.push_back(
                    {{"value", value}, {"point", point.name}, {"failure", point.failure}});
            }
        }
    };
    for (std::size_t v = 0; v < result.values.size(); ++v) {
        add(result.values[v], result.results[v]);
    }
    add(nullptr, result.no_slot);
    return json;
}

}  // namespace

std::string json_text(const CompareResult& result) {
    Json json = json_head("plenair.compare/1", result.title, result.case_digest);
    json["key"] = result.key;
    json["values"] = Json::array();
    for (std::size_t v = 0; v < result.values.size(); ++v) {
        json["values"].push_back({{"value", result.values[v]}, {"case_digest", result.digests[v]}});
    }
    json["weighed_loss"] = result.cost == CompareCost::slot ? "slot" : "all";
    json["band_source"] = result.computed_bands ? "coefficients" : "variants";
    json["converged"] = result.converged();
    json["failures"] = failures_json(result);
    json["over_points"] = curve_json(result, result.curves.front());
    json["points"] = Json::array();
    for (std::size_t p = 1; p < result.curves.size(); ++p) {
        json["points"].push_back(curve_json(result, result.curves[p]));
    }
    json["summary"] = result.summary;
    json["case_text"] = result.case_text;
    return json_dump(json);
}

}  // namespace plenair

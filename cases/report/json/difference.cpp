#include "cases/report/difference.hpp"
#include "cases/report/json/tools.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/study/version.hpp"

namespace plenair {

namespace {

Json side_json(const std::string& path,
               const std::string& title,
               const std::string& digest,
               const std::string& by) {
    return {{"path", path}, {"title", title}, {"case_digest", digest}, {"version", by}};
}

Json text_or_null(const std::string& text) {
    return text.empty() ? Json(nullptr) : Json(text);
}

Json output_json(const OutputChange& output) {
    Json json = {{"point", output.point}};
    if (output.cylinder > 0) json["cylinder"] = output.cylinder;
    json["quantity"] = output.name;
    json["before"] = json_number(output.before);
    json["after"] = json_number(output.after);
    json["units"] = output.units;
    json["change_percent"] = json_number(percent(output.change));
    json["of"] = output.kind == ChangeKind::of_mean_air ? "mean air" : "before";
    json["band_percent"] = output.band > 0 ? json_number(percent(output.band)) : Json(nullptr);
    json["inside_band"] = output.inside_band();
    return json;
}

}  // namespace

std::string json_text(const DifferenceResult& result) {
    Json json = {
        {"format", "plenair.difference/1"}, {"version", version()}, {"git_sha", git_sha()}};
    json["before"] = side_json(
        result.before_path, result.before_title, result.before_digest, result.before_version);
    json["after"] =
        side_json(result.after_path, result.after_title, result.after_digest, result.after_version);
    json["warnings"] = result.warnings;
    json["inputs"] = Json::array();
    for (const auto& input : result.inputs) {
        json["inputs"].push_back({{"key", input.key},
                                  {"before", text_or_null(input.before)},
                                  {"after", text_or_null(input.after)}});
    }
    json["compared"] = result.compared;
    json["outputs"] = Json::array();
    for (const auto& output : result.outputs) json["outputs"].push_back(output_json(output));
    json["summary"] = result.summary;
    return json_dump(json);
}

}  // namespace plenair

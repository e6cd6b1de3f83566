#include "cases/report/json_tools.hpp"
#include "cases/report/sweep.hpp"

#include <fmt/format.h>

namespace plenair {

std::string terminal_text(const SweepSummary& summary) {
    const auto& tally = summary.tally;
    std::string text = fmt::format("{} variants x {} points by {}\n",
                                   summary.info.count,
                                   summary.info.points.size(),
                                   summary.info.method);
    text += fmt::format("  blocks      {} found in {}, {} computed\n",
                        summary.blocks_found,
                        summary.folder,
                        summary.blocks_computed);
    if (!summary.result.empty()) {
        text += fmt::format(
            "  failed      {} variants could not be built, {} points of others "
            "did not converge\n",
            tally.failed_variants,
            tally.failed_points);
    }
    if (!tally.first_failure.empty()) {
        text += fmt::format("              first: {}\n", tally.first_failure);
    }
    for (const auto& path : {summary.result, summary.csv}) {
        if (!path.empty()) {
            text += fmt::format("  written     {}\n", path);
        }
    }
    return text;
}

std::string json_text(const SweepSummary& summary) {
    const auto& tally = summary.tally;
    Json json = json_head("plenair.sweep/1", summary.info.title, summary.info.case_digest);
    json["sweep_digest"] = summary.info.digest;
    json["method"] = summary.info.method;
    json["precision"] = summary.info.precision;
    json["tolerance"] = summary.info.tolerance;
    json["inputs"] = Json::array();
    for (const auto& input : summary.info.inputs) {
        json["inputs"].push_back(input.key);
    }
    json["points"] = summary.info.points;
    json["variants"] = summary.info.count;
    json["blocks"] = summary.info.blocks();
    json["blocks_found"] = summary.blocks_found;
    json["blocks_computed"] = summary.blocks_computed;
    json["folder"] = summary.folder;
    if (!summary.result.empty()) {
        json["failed_variants"] = tally.failed_variants;
        json["failed_points"] = tally.failed_points;
        json["first_failure"] =
            tally.first_failure.empty() ? Json(nullptr) : Json(tally.first_failure);
        json["result"] = summary.result;
        json["csv"] = summary.csv.empty() ? Json(nullptr) : Json(summary.csv);
    }
    return json_dump(json);
}

}  // namespace plenair

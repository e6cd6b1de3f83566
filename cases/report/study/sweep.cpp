#include "cases/report/sweep.hpp"
#include "cases/report/json/tools.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <vector>

namespace plenair {

namespace {

/// Best variants and reasons that are printed.
constexpr std::size_t most_shown = 5;

/// The variants to look at first, from the least spread to the most air.
std::string best_text(const SweepSummary& summary) {
    const auto& best = summary.tally.best;
    if (best.empty()) {
        return "";
    }
    const auto shown = some_of(best, most_shown);
    std::string text = "  best        no other variant has less spread and more air";
    text +=
        best.size() > shown.size() ? fmt::format(" ({} of {})\n", shown.size(), best.size()) : "\n";
    const double most_air = best.back().air_flow;
    for (const auto& variant : shown) {
        std::vector<std::string> entries;
        for (std::size_t i = 0; i < variant.inputs.size(); ++i) {
            entries.push_back(
                fmt::format("{} = {}", summary.info.inputs[i].key, variant.inputs[i]));
        }
        const double less = 1 - variant.air_flow / most_air;
        const std::string slot =  // 0: there is none
            variant.slot_loss > 0
                ? fmt::format("slot loss {:.2f} kPa, ", geometry::to_unit(variant.slot_loss, "kPa"))
                : std::string();
        text += fmt::format("              variant {}: {}: worst spread {:.1f} % at {}, {}{}\n",
                            variant.number,
                            fmt::join(entries, ", "),
                            100 * variant.worst_spread,
                            variant.worst_point,
                            slot,
                            &variant == &shown.back() || less < 5e-5
                                ? std::string("most air")
                                : fmt::format("{:.2f} % less air", 100 * less));
    }
    return text;
}

std::string reasons_text(const SweepTally& tally) {
    const auto reasons = tally.reasons();
    std::string text;
    for (std::size_t i = 0; i < std::min(most_shown, reasons.size()); ++i) {
        text += fmt::format("              {} x, first variant {}: {}\n",
                            reasons[i].count,
                            reasons[i].first,
                            reasons[i].text);
    }
    if (reasons.size() > most_shown) {
        text += fmt::format("              and {} more reasons; the table of --csv has all\n",
                            reasons.size() - most_shown);
    }
    return text;
}

Json json_of(const BestVariant& variant, const SweepInfo& info) {
    Json json;
    json["variant"] = variant.number;
    for (std::size_t i = 0; i < variant.inputs.size(); ++i) {
        json["inputs"][info.inputs[i].key] = variant.inputs[i];
    }
    json["worst_spread_percent"] = 100 * variant.worst_spread;
    json["worst_point"] = variant.worst_point;
    json["mean_air_flow_kg_s"] = variant.air_flow;
    json["mean_slot_loss_pa"] = variant.slot_loss;
    return json;
}

}  // namespace

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
    text += best_text(summary) + reasons_text(tally);
    if (tally.in_double > 0) {
        text +=
            fmt::format("  in double   {} of {} points were solved alone, in double precision\n",
                        tally.in_double,
                        tally.points);
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
        json["points_in_double"] = tally.in_double;
        json["first_failure"] =
            tally.first_failure.empty() ? Json(nullptr) : Json(tally.first_failure);
        json["failures"] = Json::array();
        for (const auto& reason : tally.reasons()) {
            json["failures"].push_back({{"reason", reason.text},
                                        {"count", reason.count},
                                        {"first_variant", reason.first}});
        }
        json["best"] = Json::array();
        for (const auto& variant : some_of(tally.best, most_shown)) {
            json["best"].push_back(json_of(variant, summary.info));
        }
        json["result"] = summary.result;
        json["csv"] = summary.csv.empty() ? Json(nullptr) : Json(summary.csv);
    }
    return json_dump(json);
}

}  // namespace plenair

#include "cases/report/tolerance.hpp"
#include "cases/report/csv/cell.hpp"
#include "cases/report/json/tools.hpp"
#include "cases/report/terminal/paint.hpp"
#include "cases/report/words/caution.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/report/words/text_lines.hpp"
#include "cases/study/version.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace plenair {

namespace {

using geometry::to_unit;

double cost(const InputEffect& effect) {
    return std::max({effect.spread_low, effect.spread_high, 0.0});
}

/// Metal first, each by what it costs.
std::vector<std::size_t> ranked(const ToleranceResult& result) {
    std::vector<std::size_t> order;
    for (std::size_t k = 0; k < result.effects.size(); ++k) order.push_back(k);
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        const auto &ea = result.effects[a], &eb = result.effects[b];
        return ea.metal != eb.metal ? ea.metal : cost(ea) > cost(eb);
    });
    return order;
}

std::string with_sign(double value, int decimals) {
    const std::string text = fmt::format("{:+.{}f}", value, decimals);
    return text.find_first_not_of("+-0.") == std::string::npos ? "0" : text;
}

/// Whether some input moves the loss of a slot: none does where the case has none.
bool has_slot(const ToleranceResult& result) {
    return std::any_of(result.effects.begin(), result.effects.end(), [](const auto& e) {
        return e.loss_low != 0 || e.loss_high != 0;
    });
}

/// A coefficient of a part that the case has not.
bool idle(const InputEffect& e) {
    return !e.metal && e.spread_low == 0 && e.spread_high == 0 && e.air_low == 0 && e.air_high == 0;
}

std::string effect_table(const ToleranceResult& result) {
    const bool slot = has_slot(result);
    const auto column = [slot](const std::string& text) {
        return slot ? fmt::format("  {:>13}", text) : std::string();
    };
    std::size_t width = 8;
    for (const auto& effect : result.effects) width = std::max(width, effect.key.size());
    const auto order = ranked(result);
    const std::string unit(result.units.in_place_of("mm"));
    // Costs are told of 0.05 mm, the shop's step; an inch shop's is 0.002 in.
    const double per_step = result.units.inches()
                                ? geometry::from_unit(0.002, "in") / geometry::from_unit(0.05, "mm")
                                : 1;
    std::string text = fmt::format("  {:<{}}  {:>8}  {:>15}  {:>9}{}  {:>13}  {:>11}  {}\n",
                                   "input",
                                   width,
                                   "+/-",
                                   "spread at limits",
                                   result.units.inches() ? "per 0.002" : "per 0.05",
                                   column("slot loss"),
                                   "air",
                                   "index, %",
                                   "limit from");
    text += fmt::format("  {:<{}}  {:>8}  {:>16}  {:>9}{}  {:>13}  {:>11}\n",
                        "",
                        width,
                        unit,
                        "%",
                        unit + ", %",
                        column("%"),
                        "%",
                        "first/total");
    for (const std::size_t k : order) {
        const auto& e = result.effects[k];
        if (idle(e)) continue;
        text += fmt::format(
            "  {:<{}}  {:>8}  {:>16}  {:>9}{}  {:>13}  {:>11}  {}{}\n",
            e.key,
            width,
            e.metal ? geometry::format_in(e.limit, unit, 3) : "band",
            with_sign(percent(e.spread_low), 3) + "/" + with_sign(percent(e.spread_high), 3),
            e.metal ? with_sign(percent(per_step * e.spread_per_step), 3) : "-",
            column(with_sign(percent(e.loss_low), 2) + "/" + with_sign(percent(e.loss_high), 2)),
            with_sign(percent(e.air_low), 2) + "/" + with_sign(percent(e.air_high), 2),
            fixed(percent(e.first), 1) + "/" + fixed(percent(e.total), 1),
            e.metal ? e.source : "the model",
            e.proposal.empty() ? "" : "; " + e.proposal);
    }
    return text;
}

/// What a proposal is for: an entry of [tolerance], with whose one limit it is.
std::string proposal_subject(const ToleranceResult& result, const InputEffect& effect) {
    const auto sharing = std::count_if(result.effects.begin(),
                                       result.effects.end(),
                                       [&](const auto& e) { return e.entry == effect.entry; });
    return sharing < 2 ? effect.key
                       : fmt::format("{} of every {}",
                                     effect.entry,
                                     effect.entry.starts_with("runner.")     ? "runner"
                                     : effect.entry.starts_with("throttle.") ? "throttle"
                                                                             : "bank");
}

std::string proposal_lines(const ToleranceResult& result) {
    std::string text;
    std::vector<std::string> said;
    for (const std::size_t k : ranked(result)) {
        const auto& e = result.effects[k];
        if (e.proposal.empty() || !e.odds_open || !e.odds_closed) continue;
        if (std::find(said.begin(), said.end(), e.entry) != said.end()) continue;
        said.push_back(e.entry);
        text += fmt::format("  {}: {}; +/-{} gives {:.1f} % good parts, +/-{} {:.1f} %\n",
                            proposal_subject(result, e),
                            e.proposal,
                            geometry::format_limit(2 * e.entry_limit, result.units),
                            percent(*e.odds_open),
                            geometry::format_limit(0.5 * e.entry_limit, result.units),
                            percent(*e.odds_closed));
    }
    return text;
}

Json odds_json(const Odds& odds) {
    return {{"parts", odds.parts},
            {"good", odds.good},
            {"share_percent", json_number(percent(odds.share))},
            {"low_percent", json_number(percent(odds.low))},
            {"high_percent", json_number(percent(odds.high))}};
}

Json effect_json(const InputEffect& e) {
    Json json = {{"input", e.key},
                 {"kind", e.metal ? "metal" : "model"},
                 {"limit_m", e.metal ? json_number(e.limit) : Json(nullptr)},
                 {"limit_from", e.source},
                 {"spread_at_low_percent", json_number(percent(e.spread_low))},
                 {"spread_at_high_percent", json_number(percent(e.spread_high))},
                 {"slot_loss_at_low_percent", json_number(percent(e.loss_low))},
                 {"slot_loss_at_high_percent", json_number(percent(e.loss_high))},
                 {"air_at_low_percent", json_number(percent(e.air_low))},
                 {"air_at_high_percent", json_number(percent(e.air_high))},
                 {"spread_per_0_05_mm_percent",
                  e.metal ? json_number(percent(e.spread_per_step)) : Json(nullptr)},
                 {"largest_bias_change_percent", json_number(percent(e.largest_share))},
                 {"index_first", json_number(e.first)},
                 {"index_total", json_number(e.total)}};
    if (e.odds_open) json["odds_at_double_limit_percent"] = json_number(percent(*e.odds_open));
    if (e.odds_closed) json["odds_at_half_limit_percent"] = json_number(percent(*e.odds_closed));
    json["proposal"] = e.proposal;
    return json;
}

}  // namespace

std::string terminal_text(const ToleranceResult& result, bool colour) {
    const Paint paint(colour);
    std::string text = report_head(paint, result.title, result.case_digest) + "\n";
    for (std::size_t i = 0; i < result.sentences.size(); ++i) {
        const std::string lines = wrapped("", result.sentences[i]);
        text += i == 0 ? paint.heading(lines.substr(0, lines.size() - 1)) + "\n" : lines;
    }
    text += "\n" + paint.heading("What each input costs, lower and upper limit") + "\n";
    text += effect_table(result);
    if (const auto lines = proposal_lines(result); !lines.empty()) {
        text += "\n" + paint.heading("Proposals for the drawing") + "\n" + lines;
    }
    text += fmt::format(
        "\nIndices of the worst spread: first order by Saltelli et al. (2010), total by Jansen "
        "(1999).\nMetal is drawn evenly between its limits, a coefficient from the normal "
        "distribution whose 95 %\nis its band; seed {}, {} variants solved.\n",
        result.seed,
        result.solved);
    return text + model_limits() + "\n" + cautions();
}

std::string json_text(const ToleranceResult& result) {
    Json json = json_head("plenair.tolerance/1", result.title, result.case_digest);
    json["target_percent"] = json_number(percent(result.target));
    json["seed"] = result.seed;
    json["method"] = result.direct ? "direct" : "surface";
    json["variants_solved"] = result.solved;
    json["sentences"] = result.sentences;
    if (!result.part.verdict.empty()) {
        json["part"] = {{"verdict", result.part.verdict},
                        {"sentence", result.part.sentence},
                        {"outside_limits", result.part.outside}};
    }
    json["odds"] = odds_json(result.metal);
    json["odds_with_model"] = odds_json(result.with_model);
    json["drawn_spread_percent"] = json_number(percent(result.drawn_spread));
    json["spread_95_percent"] = json_number(percent(result.spread_95));
    json["spread_mean_percent"] = json_number(percent(result.spread_mean));
    json["spread_deviation_percent"] = json_number(percent(result.spread_deviation));
    json["variance"] = {{"metal_first", json_number(result.metal_first)},
                        {"metal_total", json_number(result.metal_total)},
                        {"model_first", json_number(result.model_first)},
                        {"model_total", json_number(result.model_total)},
                        {"estimator_first", "Saltelli et al. 2010, table 2 (b)"},
                        {"estimator_total", "Jansen 1999"}};
    json["surface_error_percent"] = json_number(percent(result.surface_error));
    json["surface_worst_error_percent"] = json_number(percent(result.surface_worst));
    json["surface_checked_parts"] = result.checked;
    json["corner"] = {{"spread_percent", json_number(percent(result.corner_spread))},
                      {"at", result.corner_at},
                      {"deviations_m", json_numbers(result.corner)}};
    json["inputs"] = Json::array();
    for (const auto& effect : result.effects) json["inputs"].push_back(effect_json(effect));
    json["drawn"] = Json::array();
    for (const auto& point : result.drawn) {
        json["drawn"].push_back({{"name", point.name},
                                 {"spread_percent", json_number(percent(point.spread))},
                                 {"slot_loss_pa", json_number(point.slot_loss)},
                                 {"air_flow_kg_s", json_number(point.air_flow)}});
    }
    json["left_out"] = result.left_out;
    json["case_text"] = result.case_text;
    return json_dump(json);
}

std::string csv_text(const ToleranceResult& result) {
    std::string text =
        "input_text,kind_text,limit_mm,limit_from_text,spread_at_low_percent,"
        "spread_at_high_percent,slot_loss_at_low_percent,slot_loss_at_high_percent,"
        "air_at_low_percent,air_at_high_percent,index_first_ratio,index_total_ratio,"
        "proposal_text,case_digest,version\n";
    for (const auto& e : result.effects) {
        text += csv_line({e.key,
                          e.metal ? "metal" : "model",
                          e.metal ? csv_cell(converted(e.limit, "mm")) : "",
                          e.source,
                          csv_cell(percent(e.spread_low)),
                          csv_cell(percent(e.spread_high)),
                          csv_cell(percent(e.loss_low)),
                          csv_cell(percent(e.loss_high)),
                          csv_cell(percent(e.air_low)),
                          csv_cell(percent(e.air_high)),
                          csv_cell(e.first),
                          csv_cell(e.total),
                          e.proposal,
                          result.case_digest,
                          std::string(version())});
    }
    return text;
}

}  // namespace plenair

#include "cases/report/html/overview.hpp"

#include "cases/report/charts/charts.hpp"
#include "cases/report/html/frame.hpp"
#include "cases/report/html/parts.hpp"
#include "cases/report/json/tools.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/study/version.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace plenair {

namespace {

using namespace html;
using geometry::to_unit;

/// A page draws and lists so many variants; of more it takes the front, the first of the ranking
/// and some evenly from the rest.
constexpr std::size_t most_drawn = 2500, most_ranked = 40;

/// Unit in which an input is shown and can be given to --set; empty for a ratio.
std::string input_unit(const SweepInput& input, const geometry::OutputUnits& units) {
    const std::string& si = input.units;
    if (si == "m") return std::string(units.in_place_of("mm"));
    if (si == "m2") return std::string(units.in_place_of("mm2"));
    if (si == "m3") return "L";
    if (si == "Pa") return "kPa";
    if (si == "K") return "K";
    if (si == "rad") return "deg";
    if (si == "rad s-1") return "rpm";
    if (si == "kg s-1") return "g/s";
    if (si == "s") return "ms";
    return "";
}

/// A number with the digits that tell values of an entry apart, none needless.
std::string value_number(double value) {
    return fmt::format("{:.6g}", value);
}

double shown_value(const SweepInput& input,
                   const InputValue& value,
                   const geometry::OutputUnits& units) {
    const auto unit = input_unit(input, units);
    return unit.empty() ? value.number : to_unit(value.number, unit);
}

std::string value_words(const SweepInput& input,
                        const InputValue& value,
                        const geometry::OutputUnits& units) {
    if (!input.numeric) return value.text;
    const auto unit = input_unit(input, units);
    const auto number = value_number(shown_value(input, value, units));
    return unit.empty() ? number : number + " " + unit;
}

/// Pressures of a case are absolute or over the barometer; a sweep stores them absolute. Losses and
/// depressions are differences.
bool absolute(const SweepInput& input) {
    return input.units == "Pa" && input.key.find("pressure") != std::string::npos &&
           input.key.find("loss") == std::string::npos &&
           input.key.find("difference") == std::string::npos;
}

/// "slot.width=6 mm"; empty where the stored number cannot be written as the entry is: angles of
/// valve events count from firing TDC.
std::string set_text(const SweepInput& input,
                     const InputValue& value,
                     const geometry::OutputUnits& units) {
    if (input.numeric && input.units == "rad" && input.key.find("valve") != std::string::npos) {
        return "";
    }
    return input.key + "=" + value_words(input, value, units) + (absolute(input) ? " abs" : "");
}

std::string quoted(const std::string& text) {
    std::string out = "'";
    for (const char sign : text) out += sign == '\'' ? std::string("'\\''") : std::string(1, sign);
    return out + "'";
}

std::string options_text(const Overview& overview, const OverviewVariant& variant) {
    std::string text;
    for (std::size_t i = 0; i < overview.inputs.size() && i < variant.inputs.size(); ++i) {
        const auto set = set_text(overview.inputs[i], variant.inputs[i], overview.units);
        if (!set.empty()) text += (text.empty() ? "--set " : " --set ") + quoted(set);
    }
    return text;
}

/// The variants that the page draws, by place.
std::vector<std::size_t> drawn(const Overview& overview, const std::vector<std::size_t>& order) {
    if (order.size() <= most_drawn) return order;
    std::set<std::size_t> chosen;
    for (const auto i : order) {
        if (overview.variants[i].front) chosen.insert(i);
    }
    for (std::size_t k = 0; k < most_ranked; ++k) chosen.insert(order[k]);
    const std::size_t step = order.size() / (most_drawn - std::min(chosen.size(), most_drawn / 2));
    for (std::size_t k = 0; k < order.size() && chosen.size() < most_drawn;
         k += std::max<std::size_t>(step, 1)) {
        chosen.insert(order[k]);
    }
    std::vector<std::size_t> list;
    for (const auto i : order) {
        if (chosen.contains(i)) list.push_back(i);
    }
    return list;
}

std::string overview_data(const Overview& overview,
                          const std::vector<std::size_t>& shown,
                          double target) {
    Json json = {
        {"target", percent(target)}, {"inputs", Json::array()}, {"variants", Json::array()}};
    for (const auto& input : overview.inputs) {
        json["inputs"].push_back({{"key", input.key},
                                  {"unit", input_unit(input, overview.units)},
                                  {"numeric", input.numeric}});
    }
    for (const auto i : shown) {
        const auto& variant = overview.variants[i];
        Json values = Json::array();
        for (std::size_t k = 0; k < overview.inputs.size(); ++k) {
            const auto& input = overview.inputs[k];
            if (input.numeric) {
                values.push_back(
                    json_number(shown_value(input, variant.inputs.at(k), overview.units)));
            } else {
                values.push_back(variant.inputs.at(k).text);
            }
        }
        json["variants"].push_back({{"n", variant.number},
                                    {"x", json_number(percent(variant.loss))},
                                    {"y", json_number(percent(variant.worst_spread))},
                                    {"at", variant.worst_point},
                                    {"air", json_number(to_unit(variant.air_flow, "g/s"))},
                                    {"front", variant.front},
                                    {"values", std::move(values)},
                                    {"set", options_text(overview, variant)}});
    }
    const Json all = {{"results", Json::array()}, {"overview", std::move(json)}};
    return safe_json(all.dump(-1, ' ', false, Json::error_handler_t::replace));
}

void variant_row(Table& table,
                 const Overview& overview,
                 const OverviewVariant& variant,
                 double target) {
    const bool meets = variant.worst_spread <= target;
    std::vector<Cell> cells = {{std::to_string(variant.number), ""}};
    for (std::size_t k = 0; k < overview.inputs.size(); ++k) {
        cells.push_back(
            {escaped(value_words(overview.inputs[k], variant.inputs.at(k), overview.units)), ""});
    }
    cells.push_back({fixed(percent(variant.worst_spread), 2) +
                         (meets ? "" : "<br><small>over the target</small>"),
                     meets ? "strong" : "alarm"});
    cells.push_back({escaped(variant.worst_point), ""});
    cells.push_back({fixed(percent(variant.loss), 2), ""});
    cells.push_back({fixed(to_unit(variant.air_flow, "g/s"), 1), ""});
    cells.push_back({variant.front ? "yes" : "", variant.front ? "strong" : ""});
    table.row(cells);
}

Table variant_table(const Overview& overview, const std::string& caption) {
    std::vector<std::string> heads = {"Variant"};
    for (const auto& input : overview.inputs)
        heads.push_back("<code>" + escaped(input.key) + "</code>");
    heads.insert(heads.end(),
                 {"Worst spread<br>%", "At", "Losses<br>%", "Air flow<br>g/s", "On the<br>front"});
    return {caption, heads};
}

std::string ranking_text(const Overview& overview,
                         const std::vector<std::size_t>& order,
                         double target) {
    Table table = variant_table(
        overview,
        fmt::format("Ranking: those within {} % by loss, then the others by spread{}",
                    fixed(percent(target), 1),
                    order.size() > most_ranked
                        ? fmt::format("; the first {} of {}", most_ranked, order.size())
                        : std::string()));
    for (std::size_t k = 0; k < std::min(order.size(), most_ranked); ++k) {
        variant_row(table, overview, overview.variants[order[k]], target);
    }
    return section("ranking", "Ranking", table.text("Ranking of the variants"));
}

std::string front_text(const Overview& overview, double target) {
    std::vector<const OverviewVariant*> front;
    for (const auto& variant : overview.variants) {
        if (variant.front) front.push_back(&variant);
    }
    std::stable_sort(
        front.begin(), front.end(), [](const auto* a, const auto* b) { return a->loss < b->loss; });
    Table table = variant_table(
        overview, "The front, by loss: less spread than here costs more, less loss spreads more");
    for (const auto* variant : front) variant_row(table, overview, *variant, target);
    std::vector<std::string> items;
    for (const auto* variant : front) {
        const auto set = options_text(overview, *variant);
        if (!set.empty()) {
            items.push_back(
                fmt::format("variant {}: <code>{}</code>", variant->number, escaped(set)));
        }
    }
    return section("front",
                   "The front",
                   table.text("The front") +
                       (items.empty() ? std::string()
                                      : "<details><summary>Entries of the front as --set "
                                        "options</summary>\n" +
                                            list(items, "watch") + "</details>\n"));
}

std::string failures_text(const Overview& overview) {
    constexpr std::size_t most = 20;
    if (overview.failed() == 0) return "";
    std::vector<std::string> items;
    for (const auto& variant : overview.variants) {
        if (variant.failure.empty() || items.size() == most) continue;
        items.push_back(fmt::format("variant {}: {}", variant.number, escaped(variant.failure)));
    }
    std::string text = list(items, "watch");
    if (overview.failed() > most) {
        text += paragraph(fmt::format("And {} more.", overview.failed() - most), "note");
    }
    return section("lost", "Variants without figures", text);
}

/// What the variants come to, in a few sentences.
std::string verdict_words(const Overview& overview,
                          const std::vector<std::size_t>& order,
                          double target) {
    if (order.empty()) return "No variant has figures.";
    const auto& all = overview.variants;
    const auto within = std::count_if(
        order.begin(), order.end(), [&](std::size_t i) { return all[i].worst_spread <= target; });
    const auto least = *std::min_element(order.begin(), order.end(), [&](auto a, auto b) {
        return all[a].worst_spread < all[b].worst_spread;
    });
    std::string text = fmt::format("{} of {} variants stay within {} % at every point. ",
                                   within,
                                   order.size(),
                                   fixed(percent(target), 1));
    text += within > 0 ? fmt::format("Of these variant {} loses least, {} % of the pressure. ",
                                     all[order.front()].number,
                                     fixed(percent(all[order.front()].loss), 2))
                       : std::string();
    text += fmt::format("The least worst spread is {} %, of variant {} at {}.",
                        fixed(percent(all[least].worst_spread), 2),
                        all[least].number,
                        all[least].worst_point);
    return text;
}

std::string figures_text(bool scripted, std::size_t shown, std::size_t all) {
    if (!scripted) return "";
    const auto figure = [](const char* kind, const char* label, const std::string& caption) {
        return fmt::format(
            "<figure class=\"chart\" id=\"chart-{0}\" data-chart=\"{0}\" data-result=\"0\" "
            "data-label=\"{1}\">\n<div class=\"plot\"><p class=\"waiting\">Open this file in a "
            "browser that runs scripts to see this chart; its numbers are in the table.</p></div>\n"
            "<figcaption>{2} <a class=\"self\" href=\"#chart-{0}\">Link to this "
            "chart</a></figcaption>\n</figure>\n",
            kind,
            label,
            caption);
    };
    const std::string some = shown < all
                                 ? fmt::format(
                                       " {} of {} variants are drawn: the front, the first of the "
                                       "ranking, and some evenly from the rest.",
                                       shown,
                                       all)
                                 : "";
    return figure("overview-scatter",
                  "Losses against the worst spread of every variant",
                  "Each dot a variant; dark: the front. Choose one by pointer, or focus the chart "
                  "and use the arrow keys." +
                      some) +
           "<div id=\"chosen\" class=\"chosen\" role=\"status\"><p>No variant chosen.</p></div>\n" +
           figure("overview-parallel",
                  "Entries of every variant beside what they give",
                  "Each line a variant, through its entries and what it gives; dark: the front, "
                  "heavy: the one that is chosen.");
}

std::string identity_text(const Overview& overview, const ReportOptions& options) {
    std::string text = fmt::format("<p>case <code>{}</code></p>\n<p>plenair {} ({})</p>\n",
                                   escaped(overview.case_digest.substr(0, 23)),
                                   escaped(version()),
                                   escaped(git_sha()));
    if (!options.time.empty()) {
        text += "<p class=\"time\">Report made: " + escaped(options.time) + "</p>\n";
    }
    return text;
}

}  // namespace

std::string html_text(const Overview& overview, const ReportOptions& options) {
    const auto order = ranking(overview, options.target);
    const auto shown = drawn(overview, order);
    PageParts page;
    page.scripted = options.scripts && !charts().script.empty() && !order.empty();
    page.kind = overview.kind;
    page.title = escaped(overview.title);
    page.identity = identity_text(overview, options);
    const auto add = [&page](const char* id, const char* heading, const std::string& text) {
        if (text.empty()) return;
        page.body += text;
        page.contents.emplace_back(id, heading);
    };
    add("spread-loss",
        "Loss against spread",
        section(
            "spread-loss",
            "Loss against spread",
            paragraph(escaped(verdict_words(overview, order, options.target)), "verdict") +
                figures_text(page.scripted, shown.size(), order.size()) +
                paragraph("Losses: throttle, slot, bell mouths, runner and port together, mean "
                          "of the points, in % of the pressure before the throttle. Spread: "
                          "the worst of the points. Two variants of one design differ only "
                          "where their spreads are more than 0.5 % apart.",
                          "note") +
                paragraph("This is a calculation, not an approval; read the cautions of the "
                          "report of the variant you choose. Local codes, event rules, insurers "
                          "and licensed professionals decide.",
                          "careful")));
    add("front", "The front", front_text(overview, options.target));
    add("ranking", "Ranking", ranking_text(overview, order, options.target));
    add("lost", "Variants without figures", failures_text(overview));
    add("cautions", "Cautions", cautions_section({}));
    if (page.scripted) page.data = overview_data(overview, shown, options.target);
    return page_text(page);
}

}  // namespace plenair

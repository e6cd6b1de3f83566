#include "cases/report/causes.hpp"
#include "cases/report/csv/cell.hpp"
#include "cases/report/json/tools.hpp"
#include "cases/report/terminal/paint.hpp"
#include "cases/report/words/caution.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/report/words/text_lines.hpp"
#include "cases/study/version.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

namespace plenair {

namespace {

using geometry::to_unit;

std::string signed_value(double ratio) {
    const std::string text = fmt::format("{:+.2f}", percent(ratio));
    return text.find_first_not_of("+-0.") == std::string::npos ? "0" : text;
}

std::string cause_row(const std::string& name, const std::vector<double>& values, double spread) {
    std::string text = fmt::format("  {:<38}", name);
    for (const double value : values) text += fmt::format("{:>8}", signed_value(value));
    return text + fmt::format("  {:>8}\n", signed_value(spread));
}

std::string point_table(const CausePoint& point, const Paint& paint) {
    std::string text =
        "\n" +
        paint.heading(fmt::format(
            "{}: {:.0f} rpm, bias by cylinder, %", point.name, to_unit(point.speed, "rpm"))) +
        "\n";
    if (!point.known) return text + paint.alarm("  " + point.failure) + "\n";
    text += fmt::format("  {:<38}", "cause");
    for (const int cylinder : point.cylinders) text += fmt::format("{:>8}", cylinder);
    text += fmt::format("  {:>8}\n", "spread");
    for (std::size_t i = 0; i < cause_count; ++i) {
        text += cause_row(all_causes()[i].name, point.part[i], point.spread_part[i]);
    }
    text += cause_row("left with all switched off", point.rest, point.spread_rest);
    return text + cause_row("whole", point.whole, point.spread);
}

Json point_json(const CausePoint& point) {
    Json json = {{"name", point.name},
                 {"speed_rpm", json_number(converted(point.speed, "rpm"))},
                 {"known", point.known}};
    if (!point.known) {
        json["failure"] = point.failure;
        return json;
    }
    const auto in_percent = [](std::vector<double> values) {
        for (double& value : values) value = percent(value);
        return json_numbers(values);
    };
    json["cylinders"] = point.cylinders;
    json["bias_percent"] = in_percent(point.whole);
    json["spread_percent"] = json_number(percent(point.spread));
    json["causes"] = Json::array();
    for (std::size_t i = 0; i < cause_count; ++i) {
        json["causes"].push_back({{"name", all_causes()[i].name},
                                  {"bias_percent", in_percent(point.part[i])},
                                  {"spread_percent", json_number(percent(point.spread_part[i]))}});
    }
    json["rest"] = {{"bias_percent", in_percent(point.rest)},
                    {"spread_percent", json_number(percent(point.spread_rest))}};
    json["largest"] = all_causes()[point.largest].name;
    return json;
}

}  // namespace

std::string terminal_text(const CausesResult& result, bool colour) {
    const Paint paint(colour);
    std::string text = report_head(paint, result.title, result.case_digest) + "\n";
    for (const auto& sentence : result.sentences) text += wrapped("", sentence);
    for (const auto& point : result.points) text += point_table(point, paint);
    text +=
        "\nThe parts are Shapley values over five switches (Shapley 1953; Faigle and Kern 1992): "
        "what "
        "a\ncause adds where those act through which it acts. They sum to the whole. Switched off "
        "means:\n";
    for (const auto& cause : all_causes()) text += wrapped("  " + cause.name + ": ", cause.off);
    return text + model_limits() + "\n" + cautions();
}

std::string json_text(const CausesResult& result) {
    Json json = json_head("plenair.causes/1", result.title, result.case_digest);
    json["sentences"] = result.sentences;
    json["switches"] = Json::array();
    for (const auto& cause : all_causes()) {
        json["switches"].push_back(
            {{"name", cause.name}, {"off", cause.off}, {"lever", cause.lever}});
    }
    json["points"] = Json::array();
    for (const auto& point : result.points) json["points"].push_back(point_json(point));
    json["converged"] = result.converged();
    json["case_text"] = result.case_text;
    return json_dump(json);
}

std::string csv_text(const CausesResult& result) {
    std::string text =
        "point,speed_rpm,cause_text,cylinder_number,bias_percent,case_digest,version\n";
    for (const auto& point : result.points) {
        const auto add = [&](const std::string& cause, const std::vector<double>& values) {
            for (std::size_t c = 0; c < values.size(); ++c) {
                text += csv_line({csv_cell(point.name),
                                  csv_cell(converted(point.speed, "rpm")),
                                  cause,
                                  std::to_string(point.cylinders[c]),
                                  csv_cell(percent(values[c])),
                                  result.case_digest,
                                  std::string(version())});
            }
        };
        for (std::size_t i = 0; i < cause_count; ++i) add(all_causes()[i].name, point.part[i]);
        add("rest", point.rest);
        add("whole", point.whole);
    }
    return text;
}

}  // namespace plenair

#include "cases/report/terminal.hpp"
#include "cases/report/terminal/paint.hpp"
#include "cases/report/terminal/trim_tables.hpp"
#include "cases/report/words/caution.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/report/words/text_lines.hpp"
#include "cases/report/words/trim_words.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

namespace plenair {

namespace {

using geometry::to_unit;

std::string point_head(const TrimPoint& point) {
    std::string text = fmt::format("{}: {:.0f} rpm, ", point.name, to_unit(point.speed, "rpm"));
    if (point.issued) {
        text +=
            fmt::format("{:.1f} kPa abs in the plenum, ", to_unit(point.plenum_pressure, "kPa"));
    }
    return text + fmt::format("{:.1f} kPa abs before the throttle, lambda {:.3f}",
                              to_unit(point.source_pressure, "kPa"),
                              point.lambda);
}

std::string trim_table(const TrimPoint& point) {
    constexpr auto row = "  {:>8}  {:>8}  {:>6}  {:>6}  {:>10}  {:>9}  {:>7}\n";
    std::string text =
        fmt::format(row, "cylinder", "firing", "bias", "trim", "multiplier", "lambda", "lambda");
    text += fmt::format(row, "", "position", "%", "%", "", "untrimmed", "trimmed");
    for (const auto& t : point.cylinders) {
        text += fmt::format(row,
                            t.cylinder,
                            t.firing_position,
                            signed_percent(t.bias),
                            signed_trim(t.trim),
                            fixed(t.multiplier, 3),
                            fixed(t.lambda_untrimmed, 3),
                            fixed(t.lambda_trimmed, 3));
    }
    return text;
}

/// "left has 49.7 % of the air and a spread of 8.4 % inside it, right ..."
std::string bank_words(const TrimPoint& point) {
    std::string text;
    for (const auto& bank : point.banks) {
        text += fmt::format("{}{} has {} % of the air and a spread of {} % inside it",
                            text.empty() ? "" : ", ",
                            bank.name,
                            fixed(percent(bank.share), 1),
                            fixed(percent(bank.spread), 1));
    }
    return text;
}

std::string point_text(const TrimResult& result, const TrimPoint& point, const Paint& paint) {
    std::string text = paint.heading(point_head(point)) + "\n";
    if (!point.issued) {
        return text + paint.alarm("  not a result: " + point.failure) +
               "\n  No trims are issued.\n";
    }
    text += trim_table(point);
    text += fmt::format("  mean moved   {} % by rounding to {} %\n",
                        signed_hundredths(point.moved_mean),
                        geometry::format_number(percent(result.step), 3));
    text += fmt::format("  air          spread {} %{}\n",
                        fixed(percent(point.spread), 1),
                        point.bias_band > 0 ? fmt::format(", band +/-{} % at 95 %",
                                                          fixed(percent(point.bias_band), 1))
                                            : "");
    if (point.banks.size() > 1) text += wrapped("  banks        ", bank_words(point));
    text += wrapped("  leanest      ", point.risk);
    if (result.injection) text += duty_table(result, point);
    if (!point.nitrous.empty()) text += nitrous_table(point);
    return text;
}

std::string alarms(const TrimResult& result, const Paint& paint) {
    std::string text;
    for (const auto& error : result.errors) {
        text += paint.alarm(wrapped("error: ", error));
    }
    for (const auto& warning : result.warnings) {
        text += paint.caution(wrapped("warning: ", warning));
    }
    return text.empty() ? text : "\n" + text;
}

bool any_nitrous(const TrimResult& result) {
    for (const auto& point : result.points) {
        if (!point.nitrous.empty()) return true;
    }
    return false;
}

}  // namespace

std::string terminal_text(const TrimResult& result, bool colour) {
    const Paint paint(colour);
    std::string text = report_head(paint, result.title, result.case_digest);
    text += "Fuel trims: " + trim_sign() + ".\n";
    for (const auto& point : result.points) {
        if (point.curve.empty()) text += "\n" + point_text(result, point, paint);
    }
    text += trims_over_points(result, paint);
    text += map_tables(result, paint);
    text += fixed_table(result, paint);
    text += alarms(result, paint);
    text += "\n" + trim_start_advice();
    text += "\n" + model_limits();
    if (any_nitrous(result)) text += "\n" + nitrous_cautions();
    return text + "\n" + cautions();
}

}  // namespace plenair

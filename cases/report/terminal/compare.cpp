#include "cases/report/compare.hpp"
#include "cases/report/terminal/paint.hpp"
#include "cases/report/terminal/scatter.hpp"
#include "cases/report/words/caution.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/study/compare_curve.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <functional>

namespace plenair {

namespace {

using geometry::to_unit;

constexpr auto no_slot_name = "no slot";

std::size_t name_width(const CompareResult& result) {
    std::size_t width = std::string(no_slot_name).size();
    for (const auto& value : result.values) width = std::max(width, value.size());
    return width;
}

std::string or_dash(const std::optional<double>& ratio, int decimals) {
    return ratio ? fixed(percent(*ratio), decimals) : "-";
}

/// Whether no other value is better in both, and whether it is the knee.
std::string badge(const CompareCurve& curve, std::size_t v) {
    std::string text = curve.marks[v].best ? "best set" : "";
    if (curve.knee == v) text += text.empty() ? "knee" : ", knee";
    return text;
}

std::string overall_row(const std::string& name,
                        const CompareMark& mark,
                        const std::string& remark,
                        std::size_t width) {
    if (!mark.converged) {
        return fmt::format("  {:>{}}  did not converge at every point\n", name, width);
    }
    const bool known = mark.knee_distance.has_value();
    auto text = fmt::format("  {:>{}}  {:>6}  {:<6}  {:>9}  {:>8}  {:>8}  {:>8}  {}",
                            name,
                            width,
                            fixed(percent(mark.spread), 1),
                            mark.worst_point,
                            fixed(to_unit(mark.loss, "kPa"), 1),
                            fixed(to_unit(mark.air_flow, "g/s"), 1),
                            or_dash(mark.air_lost, 1),
                            known ? fixed(*mark.knee_distance, 2) : "-",
                            remark);
    text.erase(text.find_last_not_of(' ') + 1);
    return text + "\n";
}

std::string overall_table(const CompareResult& result) {
    const CompareCurve& all = result.curves.front();
    const std::size_t width = name_width(result);
    constexpr auto row = "  {:>{}}  {:>6}  {:<6}  {:>9}  {:>8}  {:>8}  {:>8}\n";
    const bool of_slot = result.cost == CompareCost::slot;
    const char* mean = of_slot ? "mean slot" : "mean";
    std::string text =
        result.several_points()
            ? fmt::format(row, "", width, "worst", "at", mean, "mean air", "air", "below")
            : fmt::format(row, "", width, "", "at", of_slot ? "slot" : "", "air", "air", "below");
    text += fmt::format(row, "", width, "spread", "point", "loss", "flow", "lost", "the line");
    text += fmt::format(row, "value", width, "%", "", "kPa", "g/s", "%", "0..1");
    for (std::size_t v = 0; v < result.values.size(); ++v) {
        text += overall_row(result.values[v], all.marks[v], badge(all, v), width);
    }
    if (all.no_slot) text += overall_row(no_slot_name, *all.no_slot, "", width);
    return text;
}

using CellText = std::function<std::string(const CompareMark&)>;

// Of more points than this (curves over speed) the points go down and the values across.
constexpr std::size_t most_columns = 8;

/// Points down, values across.
std::string long_table(const CompareResult& result,
                       const std::string& title,
                       bool with_no_slot,
                       const CellText& cell) {
    const bool no_slot = with_no_slot && result.curves.front().no_slot;
    std::size_t column = no_slot ? std::string_view(no_slot_name).size() : 6;
    for (const auto& value : result.values) column = std::max(column, value.size());
    std::size_t first = 5;
    for (const auto& curve : result.curves) first = std::max(first, curve.point.size());
    std::string text = title + "\n" + fmt::format("  {:>{}}", "point", first);
    for (const auto& value : result.values) text += fmt::format("  {:>{}}", value, column);
    if (no_slot) text += fmt::format("  {:>{}}", no_slot_name, column);
    text += "\n";
    for (std::size_t p = 1; p < result.curves.size(); ++p) {
        text += fmt::format("  {:>{}}", result.curves[p].point, first);
        const auto add = [&](const CompareMark& mark) {
            text += fmt::format("  {:>{}}", mark.converged ? cell(mark) : "-", column);
        };
        for (const auto& mark : result.curves[p].marks) add(mark);
        if (no_slot && result.curves[p].no_slot) add(*result.curves[p].no_slot);
        text += "\n";
    }
    return text;
}

/// Values down, points across.
std::string point_table(const CompareResult& result,
                        const std::string& title,
                        bool with_no_slot,
                        const CellText& cell) {
    if (result.curves.size() - 1 > most_columns) {
        return long_table(result, title, with_no_slot, cell);
    }
    const std::size_t width = name_width(result);
    std::size_t column = 6;
    for (const auto& curve : result.curves) column = std::max(column, curve.point.size());
    std::string text = title + "\n" + fmt::format("  {:>{}}", "value", width);
    for (std::size_t p = 1; p < result.curves.size(); ++p) {
        text += fmt::format("  {:>{}}", result.curves[p].point, column);
    }
    text += "\n";
    const auto row = [&](const std::string& name, const auto& mark_of) {
        text += fmt::format("  {:>{}}", name, width);
        for (std::size_t p = 1; p < result.curves.size(); ++p) {
            const CompareMark& mark = mark_of(result.curves[p]);
            text += fmt::format("  {:>{}}", mark.converged ? cell(mark) : "-", column);
        }
        text += "\n";
    };
    for (std::size_t v = 0; v < result.values.size(); ++v) {
        row(
            result.values[v], [v](const CompareCurve& c) -> auto& { return c.marks[v]; });
    }
    if (with_no_slot && result.curves.front().no_slot) {
        row(
            no_slot_name, [](const CompareCurve& c) -> auto& { return *c.no_slot; });
    }
    return text;
}

std::string point_tables(const CompareResult& result) {
    std::string text = "\n" + point_table(result, "spread, %", true, [](const CompareMark& m) {
                           return fixed(percent(m.spread), 1);
                       });
    const bool of_slot = result.cost == CompareCost::slot;
    text +=
        "\n" + point_table(result,
                           of_slot ? "slot loss, kPa" : "loss of total pressure, kPa",
                           !of_slot,
                           [](const CompareMark& m) { return fixed(to_unit(m.loss, "kPa"), 1); });
    text += "\n" + point_table(result, "air flow, g/s", true, [](const CompareMark& m) {
                return fixed(to_unit(m.air_flow, "g/s"), 1);
            });
    if (!result.no_slot.empty()) {
        text += "\n" +
                point_table(result, "air lost against no slot, %", false, [](const CompareMark& m) {
                    return or_dash(m.air_lost, 1);
                });
    }
    return text;
}

std::string plot(const CompareResult& result) {
    const CompareCurve& all = result.curves.front();
    std::vector<ScatterPoint> points;
    for (std::size_t v = 0; v < result.values.size(); ++v) {
        if (!all.marks[v].converged) continue;
        points.push_back({to_unit(all.marks[v].loss, "kPa"),
                          percent(all.marks[v].spread),
                          result.values[v] + (all.knee == v ? " (knee)" : "")});
    }
    const double least = 2 * percent(std::max(all.band, variant_band));
    const bool several = result.several_points();
    const std::string loss = result.cost == CompareCost::slot ? "slot loss" : "loss";
    return scatter_text(points,
                        fmt::format("{}{}, kPa", several ? "mean " : "", loss),
                        several ? "worst spread, %" : "spread, %",
                        least);
}

std::string sentences(const CompareResult& result, const Paint& paint) {
    std::string text = paint.heading(result.summary) + "\n";
    for (const auto& curve : result.curves) {
        if (curve.point.empty() && !result.several_points()) continue;  // the same again
        if (!curve.point.empty() && result.curves.size() - 1 > most_columns) break;
        const std::string where = curve.point.empty() ? "over the points" : curve.point;
        std::string knee;
        if (curve.knee && !curve.point.empty()) {
            knee = fmt::format("knee at {}{}",
                               result.values[*curve.knee],
                               study::knee_remark(curve, result.values));
            if (curve.second) knee += fmt::format(", next {}", result.values[*curve.second]);
            knee += "; ";
        }
        if (!curve.verdict.empty()) text += fmt::format("  {}: {}{}\n", where, knee, curve.verdict);
        if (!curve.slot_verdict.empty()) {
            text += paint.caution(fmt::format("  {}: {}", where, curve.slot_verdict)) + "\n";
        }
    }
    text +=
        "Knee: loss and spread are scaled to 0..1; of the values below the straight line between\n"
        "the ends of the curve, the one farthest from it. Best set: from least loss on, each "
        "value\n"
        "with less spread than the last one in the set by more than the band.\n";
    text += result.computed_bands
                ? "Band of a difference in spread: from the bands of the model's coefficients.\n"
                : "Band of a difference in spread: +/-0.5 % between variants; --bands on computes "
                  "it.\n";
    if (result.cost == CompareCost::all) {
        text += fmt::format(
            "Loss: of total pressure at throttle, {}mouths, runners and ports "
            "together.\n",
            result.no_slot.empty() ? "" : "slot, ");
    }
    if (!result.no_slot.empty()) {
        text +=
            "No slot: the wall between the chambers is taken out, one plenum with the section of "
            "both.\n";
    }
    return text;
}

std::string failures(const CompareResult& result, const Paint& paint) {
    std::string text;
    const auto add = [&](const std::string& name, const std::vector<PointResult>& points) {
        for (const auto& point : points) {
            if (!point.converged) {
                text += paint.alarm(fmt::format(
                            "  {}, {}: did not converge: {}", name, point.name, point.failure)) +
                        "\n";
            }
        }
    };
    for (std::size_t v = 0; v < result.values.size(); ++v) {
        add(result.values[v], result.results[v]);
    }
    add(no_slot_name, result.no_slot);
    const bool reference_failed = std::any_of(
        result.no_slot.begin(), result.no_slot.end(), [](auto& p) { return !p.converged; });
    if (reference_failed) text += "  Air lost is the mean of the points where no slot converged.\n";
    return text;
}

}  // namespace

std::string terminal_text(const CompareResult& result, bool colour) {
    const Paint paint(colour);
    std::vector<std::string> points;
    for (const auto& curve : result.curves) {
        if (!curve.point.empty()) points.push_back(curve.point);
    }
    std::string text = report_head(paint, result.title, result.case_digest);
    const std::string where =
        points.size() > most_columns
            ? fmt::format("{} to {} ({} points)", points.front(), points.back(), points.size())
            : fmt::format("{}", fmt::join(points, ", "));
    text += "\n" + paint.heading(fmt::format("{} at {}", result.key, where)) + "\n";
    text += overall_table(result) + failures(result, paint);
    text += "\n" + plot(result) + point_tables(result) + "\n" + sentences(result, paint);
    return text + model_limits() + "\n" + cautions();
}

}  // namespace plenair

#include "cases/report/choose.hpp"
#include "cases/report/terminal/paint.hpp"
#include "cases/report/terminal/scatter.hpp"
#include "cases/report/words/caution.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/report/words/text_lines.hpp"
#include "cases/study/compare.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace plenair {

namespace {

using geometry::to_unit;

std::string number_text(double value) {
    return geometry::format_number(value, 6);
}

std::string unit_of(const FreeNumber& number) {
    const auto first = number.unit.find_first_not_of(' ');
    return first == std::string::npos ? "" : number.unit.substr(first);
}

std::size_t key_width(const ChooseResult& result) {
    std::size_t width = 6;
    for (const auto& number : result.numbers) width = std::max(width, number.key.size());
    return width;
}

std::string dimension_table(const ChooseResult& result) {
    const std::size_t width = key_width(result);
    std::string text = fmt::format("  {:<{}}  {:>9}  {:>9}  {:<8}  {}\n",
                                   "entry",
                                   width,
                                   "present",
                                   "chosen",
                                   "unit",
                                   "between");
    for (std::size_t k = 0; k < result.numbers.size(); ++k) {
        const auto& n = result.numbers[k];
        text += fmt::format("  {:<{}}  {:>9}  {:>9}  {:<8}  {} and {} by {}\n",
                            n.key,
                            width,
                            number_text(n.present),
                            number_text(result.chosen.numbers.at(k)),
                            unit_of(n),
                            number_text(n.low),
                            number_text(n.high),
                            number_text(n.step));
    }
    return text;
}

std::string limit_table(const ChooseResult& result, const Paint& paint) {
    std::string text;
    for (const auto& limit : result.limits) {
        const std::string line = fmt::format("  {:<8}  {}: {}{}{}",
                                             limit.met ? "holds" : "NOT MET",
                                             limit.text,
                                             limit.shown,
                                             limit.at.empty() ? "" : " at " + limit.at,
                                             limit.binds ? " (binds)" : "");
        text += (limit.met ? line : paint.alarm(line)) + "\n";
    }
    return text.empty() ? text : "\n" + paint.heading("Limits") + "\n" + text;
}

std::string signed_value(double value, int decimals) {
    const std::string text = fmt::format("{:+.{}f}", value, decimals);
    return text.find_first_not_of("+-0.") == std::string::npos ? "0" : text;
}

std::string step_table(const ChooseResult& result, const Paint& paint) {
    if (result.steps.empty()) return "";
    const bool rig = !result.chosen.set_ups.empty();
    const std::size_t width = key_width(result);
    std::string text = "\n" + paint.heading("What one step of the shop does") + "\n";
    text += fmt::format("  {:<{}}  {:>10}  {:>10}  {:>10}  {:>8}\n",
                        "entry",
                        width,
                        "step",
                        rig ? "uneven, %" : "spread, %",
                        rig ? "" : "slot loss",
                        rig ? "flow, %" : "air, %");
    for (std::size_t k = 0; k < result.steps.size(); ++k) {
        const auto& step = result.steps[k];
        if (!step.known) continue;
        text += fmt::format("  {:<{}}  {:>10}  {:>10}  {:>10}  {:>8}\n",
                            step.key,
                            width,
                            signed_value(step.step, 3) + " " + unit_of(result.numbers[k]),
                            signed_value(percent(step.spread), 3),
                            rig ? "" : signed_value(percent(step.slot_loss), 3) + " %",
                            signed_value(percent(step.air), 3));
    }
    return text;
}

std::string biases(const PointResult& point) {
    std::string text;
    for (const auto& c : point.cylinders) text += fmt::format("{:>6}", signed_percent(c.bias));
    return text;
}

std::string point_table(const ChooseResult& result, const Paint& paint) {
    std::string text =
        "\n" + paint.heading("Every point before and after; bias by cylinder, %") + "\n";
    std::size_t width = 5;
    for (const auto& point : result.present.points) width = std::max(width, point.name.size());
    text += fmt::format("  {:<{}}  {:<7}  {:>6}  {:>5}  {:>9}  {:>9}  {:>6}  {}\n",
                        "point",
                        width,
                        "",
                        "spread",
                        "band",
                        "slot loss",
                        "air",
                        "choke",
                        "bias");
    text += fmt::format("  {:<{}}  {:<7}  {:>6}  {:>5}  {:>9}  {:>9}  {:>6}\n",
                        "",
                        width,
                        "",
                        "%",
                        "+/-%",
                        "kPa",
                        "g/s",
                        "%");
    const auto row = [&](const std::string& name, const char* which, const PointResult& p) {
        text += fmt::format("  {:<{}}  {:<7}", name, width, which);
        if (!p.converged) {
            text += "  did not converge\n";
            return;
        }
        text += fmt::format("  {:>6}  {:>5}  {:>9}  {:>9}  {:>6}{}\n",
                            fixed(percent(p.spread), 2),
                            p.bias_band > 0 ? fixed(percent(p.bias_band), 1) : "-",
                            has_slot(p) ? fixed(to_unit(p.slot_loss, "kPa"), 2) : "-",
                            fixed(to_unit(p.air_flow, "g/s"), 1),
                            has_slot(p) ? fixed(percent(p.choke_margin), 0) : "-",
                            biases(p));
    };
    for (std::size_t p = 0; p < result.present.points.size(); ++p) {
        row(result.present.points[p].name, "present", result.present.points[p]);
        if (p < result.chosen.points.size()) row("", "chosen", result.chosen.points[p]);
        if (result.no_slot) row("", "no slot", result.no_slot->points.at(p));
    }
    return text;
}

std::string rig_table(const ChooseResult& result, const Paint& paint) {
    std::string text = "\n" + paint.heading("Set-ups before and after") + "\n";
    text +=
        fmt::format("  {:<12}  {:<7}  {:>12}  {:>10}\n", "set-up", "", "unevenness,%", "flow, g/s");
    const auto row = [&](const char* which, const BenchResult& r) {
        text += fmt::format("  {:<12}  {:<7}  {:>12}  {:>10}\n",
                            r.name,
                            which,
                            r.converged ? fixed(percent(unevenness(r)), 3) : "no result",
                            r.converged ? fixed(to_unit(r.flow, "g/s"), 3) : "-");
    };
    for (std::size_t s = 0; s < result.present.set_ups.size(); ++s) {
        row("present", result.present.set_ups[s]);
        if (s < result.chosen.set_ups.size()) row("chosen", result.chosen.set_ups[s]);
    }
    return text;
}

std::string front_text(const ChooseResult& result, const Paint& paint) {
    if (result.front.size() < 4) return "";
    std::string text = "\n" + paint.heading("What can be had: spread against slot loss") + "\n";
    std::vector<ScatterPoint> points;
    const auto printed = [](const std::vector<double>& numbers) {
        std::string list;
        for (const double number : numbers)
            list += (list.empty() ? "" : ", ") + number_text(number);
        return list;
    };
    text += fmt::format(
        "  {:>11}  {:>9}  {:>8}  {:<8}  {}\n", "slot loss,%", "spread, %", "air, %", "", "numbers");
    for (const auto& design : result.front) {
        const std::string numbers = printed(design.numbers);
        text += fmt::format("  {:>11}  {:>9}  {:>8}  {:<8}  {}{}\n",
                            fixed(percent(design.slot_loss), 2),
                            fixed(percent(design.spread), 2),
                            signed_value(percent(design.air / result.present.air - 1), 2),
                            design.name,
                            numbers,
                            design.best ? "" : "  (another has less of both)");
        points.push_back({percent(design.slot_loss),
                          percent(design.spread),
                          design.name.empty() ? numbers : design.name});
    }
    return text + "\n" +
           scatter_text(points,
                        "mean slot loss, % of source pressure",
                        "worst spread, %",
                        2 * percent(variant_band));
}

}  // namespace

std::string terminal_text(const ChooseResult& result, bool colour) {
    const Paint paint(colour);
    std::string text = report_head(paint, result.title, result.case_digest);
    text += "\n";
    for (std::size_t i = 0; i < result.sentences.size(); ++i) {
        const std::string lines = wrapped("", result.sentences[i]);
        text += i == 0 ? paint.heading(lines.substr(0, lines.size() - 1)) + "\n" : lines;
    }
    text += "\n" + dimension_table(result) + limit_table(result, paint) + step_table(result, paint);
    text += result.chosen.set_ups.empty() ? point_table(result, paint) : rig_table(result, paint);
    text += front_text(result, paint);
    text += "\n" + paint.heading("As overrides of the case file") + "\n";
    for (const auto& set : result.sets) text += fmt::format("  --set '{}'\n", set);
    text += fmt::format(
        "\n{} designs solved to choose (seed {}); the chosen one again, cold, from its file.\n",
        result.variants,
        result.seed);
    return text + model_limits() + "\n" + cautions();
}

}  // namespace plenair

#include "cases/report/svg/svg.hpp"

#include "cases/report/markup/markup.hpp"
#include "cases/report/markup/result_words.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/study/verdict.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <vector>

namespace plenair::html {

namespace {

// The whole figure in its own units; the page scales it.
constexpr double width = 720, left = 46, right = 76, height = 440;
constexpr double upper_top = 30, upper_bottom = 250, lower_top = 300, lower_bottom = 396;

using Steps = std::vector<const PointResult*>;

/// Colour and dash pattern of the n-th line, as in the charts of the script; colours stand in
/// attributes too, for readers that drop the style sheet.
struct Pen {
    const char* colour;
    const char* dash;
};
constexpr std::array<Pen, 8> pens = {{{"#17508f", ""},
                                      {"#d1600a", "7 3"},
                                      {"#128573", "2 3"},
                                      {"#8a2a6d", "9 3 2 3"},
                                      {"#30353b", "12 4"},
                                      {"#3b94cc", "5 2 1 2 1 2"},
                                      {"#947600", "3 5"},
                                      {"#c75f8b", "14 3 3 3"}}};

/// From numbers to places along one axis.
struct Scale {
    double low = 0, high = 1, from = 0, to = 1;
    [[nodiscard]] double operator()(double value) const {
        return from + (value - low) / (high - low) * (to - from);
    }
};

/// 1, 2, 2.5 or 5 times a power of ten, so that a range has about `count` of it.
double tick_step(double range, int count) {
    const double rough = range / count;
    const double power = std::pow(10.0, std::floor(std::log10(rough)));
    for (const double nice : {1.0, 2.0, 2.5, 5.0}) {
        if (nice * power >= rough) return nice * power;
    }
    return 10 * power;
}

std::string label(const char* style,
                  double x,
                  double y,
                  const char* anchor,
                  const std::string& text,
                  const char* fill = "#20262c") {
    return fmt::format(
        "<text class=\"{}\" x=\"{:.1f}\" y=\"{:.1f}\" fill=\"{}\" font-size=\"12\" "
        "text-anchor=\"{}\" font-family=\"sans-serif\">{}</text>\n",
        style,
        x,
        y,
        fill,
        anchor,
        text);
}

std::string level_lines(const Scale& y, double step, int decimals, bool with_sign) {
    std::string text = "<g class=\"grid\">";
    std::string words = "<g class=\"axis\">";
    for (double k = std::ceil(y.low / step - 1e-9); k * step <= y.high + 1e-9 * step; ++k) {
        const double value = k * step;
        text += fmt::format(
            "<line x1=\"{:.0f}\" x2=\"{:.0f}\" y1=\"{:.1f}\" y2=\"{:.1f}\" stroke=\"#c9cfd5\"/>",
            left,
            width - right,
            y(value),
            y(value));
        std::string number = number_text(value, decimals);
        if (with_sign && value > 1e-9) number = "+" + number;
        words += label("", left - 8, y(value) + 4, "end", number, "#4f5861");
    }
    return text + "</g>\n" + words + "</g>\n";
}

std::string speed_axis(const Scale& x) {
    const double step = tick_step(x.high - x.low, 8);
    std::string text = "<g class=\"axis\">";
    for (double k = std::ceil(x.low / step - 1e-9); k * step <= x.high + 1e-9 * step; ++k) {
        text += fmt::format(
            "<line x1=\"{0:.1f}\" x2=\"{0:.1f}\" y1=\"{1:.0f}\" y2=\"{2:.0f}\" "
            "stroke=\"#c9cfd5\"/>",
            x(k * step),
            lower_bottom,
            lower_bottom + 5);
        text += label(
            "", x(k * step), lower_bottom + 19, "middle", number_text(k * step, 0), "#4f5861");
    }
    return text + "</g>\n" +
           label("axis-name", width - right, height - 6, "end", "engine speed, rpm", "#4f5861");
}

double in_rpm(const PointResult& point) {
    return geometry::to_unit(point.speed, "rpm");
}

/// A line through the steps that have a result; broken where one has none.
template <class Value>
std::string path(const Steps& steps, const Scale& x, const Scale& y, const Value& value) {
    std::string text;
    bool pen_down = false;
    for (const auto* step : steps) {
        if (!step->converged) {
            pen_down = false;
            continue;
        }
        text +=
            fmt::format("{}{:.1f},{:.1f}", pen_down ? "L" : "M", x(in_rpm(*step)), y(value(*step)));
        pen_down = true;
    }
    return text;
}

/// The surface between two lines over the steps that have a result.
template <class Low, class High>
std::string surface(
    const Steps& steps, const Scale& x, const Scale& y, const Low& low, const High& high) {
    std::string there, back;
    for (const auto* step : steps) {
        if (!step->converged) continue;
        const double at = x(in_rpm(*step));
        there += fmt::format("{}{:.1f},{:.1f}", there.empty() ? "M" : "L", at, y(high(*step)));
        back = fmt::format("L{:.1f},{:.1f}", at, y(low(*step))) + back;
    }
    return there + back + "Z";
}

double bias_of(const PointResult& point, int number) {
    const auto* c = find_cylinder(point, number);
    return c == nullptr ? 0 : percent(c->bias);
}

struct EndLabel {
    double y = 0;
    std::size_t line = 0;
    std::string text;
};

/// Labels at the right ends of lines, moved apart.
std::string end_labels(std::vector<EndLabel> labels) {
    constexpr double distance = 14;
    std::stable_sort(
        labels.begin(), labels.end(), [](const auto& a, const auto& b) { return a.y < b.y; });
    double last = -std::numeric_limits<double>::infinity();
    std::vector<double> places;
    for (const auto& each : labels) {
        last = std::max(each.y, last + distance);
        places.push_back(last);
    }
    double next = upper_bottom;
    for (std::size_t i = places.size(); i-- > 0;) {
        places[i] = std::min(places[i], next);
        next = places[i] - distance;
    }
    std::string text;
    for (std::size_t i = 0; i < labels.size(); ++i) {
        const std::size_t n = labels[i].line % pens.size();
        text += fmt::format(
            "<line class=\"line thin s{}\" x1=\"{:.0f}\" x2=\"{:.0f}\" y1=\"{:.1f}\" y2=\"{:.1f}\" "
            "stroke=\"{}\" opacity=\"0.6\"/>",
            n,
            width - right,
            width - right + 10,
            labels[i].y,
            places[i],
            pens[n].colour);
        text += label(fmt::format("end s{}", n).c_str(),
                      width - right + 13,
                      places[i] + 4,
                      "start",
                      labels[i].text,
                      pens[n].colour);
    }
    return text;
}

std::string bias_lines(const Steps& steps,
                       const std::vector<int>& numbers,
                       const Scale& x,
                       const Scale& y) {
    std::string text =
        fmt::format("<path class=\"band\" fill=\"#e9ecef\" d=\"{}\"/>\n",
                    surface(
                        steps,
                        x,
                        y,
                        [](const PointResult& p) { return -percent(least_difference(p)); },
                        [](const PointResult& p) { return percent(least_difference(p)); }));
    text += level_lines(y, tick_step(y.high - y.low, 6), 1, true);
    text += fmt::format(
        "<line class=\"zero\" x1=\"{0:.0f}\" x2=\"{1:.0f}\" y1=\"{2:.1f}\" y2=\"{2:.1f}\" "
        "stroke=\"#20262c\"/>\n",
        left,
        width - right,
        y(0));
    std::vector<EndLabel> labels;
    for (std::size_t i = 0; i < numbers.size(); ++i) {
        const std::size_t n = i % pens.size();
        text += fmt::format(
            "<path class=\"line s{}\" fill=\"none\" stroke=\"{}\" stroke-width=\"2\" "
            "stroke-dasharray=\"{}\" d=\"{}\"/>\n",
            n,
            pens[n].colour,
            pens[n].dash,
            path(steps, x, y, [&](const PointResult& p) { return bias_of(p, numbers[i]); }));
        const auto last = std::find_if(
            steps.rbegin(), steps.rend(), [](const auto* step) { return step->converged; });
        if (last != steps.rend()) {
            labels.push_back(
                {y(bias_of(**last, numbers[i])), i, fmt::format("cyl. {}", numbers[i])});
        }
    }
    return text + end_labels(labels) +
           label("axis-name", 2, upper_top - 14, "start", "bias, % of the mean air", "#4f5861");
}

std::string worst_mark(const CurveResult& curve, const Scale& x, const Scale& y) {
    if (!curve.worst) return "";
    const double at = x(in_rpm(*curve.worst)), up = y(percent(curve.worst->spread));
    const bool to_left = at > 0.5 * (left + width - right);
    return fmt::format(
               "<circle class=\"worst\" cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"4.5\" fill=\"#9c1c2c\"/>\n",
               at,
               up) +
           label("head",
                 at + (to_left ? -8 : 8),
                 up - 6,
                 to_left ? "end" : "start",
                 fmt::format("worst {} % at {} rpm",
                             fixed(percent(curve.worst->spread), 1),
                             rpm_text(curve.worst->speed)));
}

std::string spread_lines(
    const CurveResult& curve, const Steps& steps, double target, const Scale& x, const Scale& y) {
    std::string text = level_lines(y, tick_step(y.high - y.low, 3), 1, false);
    const bool banded = std::any_of(steps.begin(), steps.end(), [](const auto* p) {
        return p->converged && p->spread_band > 0;
    });
    if (banded) {
        text += fmt::format(
            "<path class=\"area fill s0\" fill=\"#17508f\" opacity=\"0.2\" d=\"{}\"/>\n",
            surface(
                steps,
                x,
                y,
                [](const PointResult& p) {
                    return std::max(0.0, percent(p.spread - p.spread_band));
                },
                [](const PointResult& p) { return percent(p.spread + p.spread_band); }));
    }
    text += fmt::format(
        "<path class=\"line s0\" fill=\"none\" stroke=\"#17508f\" stroke-width=\"2\" d=\"{}\"/>\n",
        path(steps, x, y, [](const PointResult& p) { return percent(p.spread); }));
    text += fmt::format(
        "<line class=\"target\" x1=\"{0:.0f}\" x2=\"{1:.0f}\" y1=\"{2:.1f}\" y2=\"{2:.1f}\" "
        "stroke=\"#9c1c2c\" stroke-width=\"1.5\" stroke-dasharray=\"6 4\"/>\n",
        left,
        width - right,
        y(percent(target)));
    text += label("target",
                  width - right + 6,
                  y(percent(target)) + 4,
                  "start",
                  fmt::format("target {} %", fixed(percent(target), 1)),
                  "#9c1c2c");
    text += worst_mark(curve, x, y);
    return text + label("axis-name", 2, lower_top - 9, "start", "spread, %", "#4f5861");
}

std::string reversal_marks(const std::vector<Reversal>& reversals, const Scale& x) {
    std::string text;
    std::vector<double> places;
    for (const auto& each : reversals) {
        places.push_back(x(geometry::to_unit(0.5 * (each.from + each.to), "rpm")));
    }
    std::sort(places.begin(), places.end());
    constexpr double label_width = 100;
    double named = -label_width;
    for (const double at : places) {
        text += fmt::format(
            "<line class=\"rule\" x1=\"{0:.1f}\" x2=\"{0:.1f}\" y1=\"{1:.0f}\" y2=\"{2:.0f}\" "
            "stroke=\"#20262c\" stroke-dasharray=\"2 3\"/>\n",
            at,
            upper_top,
            lower_bottom);
        if (at >= named + label_width) {  // those of several banks may stand close
            text += label("name", at, upper_bottom + 14, "middle", "end bias turns");
            named = at;
        }
    }
    return text;
}

std::string figure(const SolveResult& result, const CurveResult& curve, double target) {
    Steps steps;
    for (std::size_t i = 0; i < curve.count; ++i) {
        steps.push_back(&result.points.at(curve.first + i));
    }
    const auto any =
        std::find_if(steps.begin(), steps.end(), [](const auto* p) { return p->converged; });
    if (any == steps.end()) return "";
    std::vector<int> numbers;
    for (const auto& c : (*any)->cylinders) numbers.push_back(c.cylinder);
    std::sort(numbers.begin(), numbers.end());
    double most = 0.5, spread = 1.25 * percent(target);
    for (const auto* step : steps) {
        if (!step->converged) continue;
        most = std::max(most, percent(least_difference(*step)));
        for (const auto& c : step->cylinders) most = std::max(most, std::abs(percent(c.bias)));
        spread = std::max(spread, percent(step->spread + step->spread_band));
    }
    if (curve.worst) spread = std::max(spread, percent(curve.worst->spread));
    const double low = in_rpm(*steps.front()), high = in_rpm(*steps.back());
    const Scale x{low, high, left, width - right};
    const Scale biases{-1.05 * most, 1.05 * most, upper_bottom, upper_top};
    const Scale spreads{0, 1.08 * spread, lower_bottom, lower_top};
    const auto turns = reversals(steps);
    std::string text = fmt::format(
        "<figure class=\"over-speed\"><div class=\"plot\"><svg role=\"img\" viewBox=\"0 0 {0:.0f} "
        "{1:.0f}\" width=\"{0:.0f}\" height=\"{1:.0f}\" aria-label=\"{2}\">\n",
        width,
        height,
        fmt::format("Curve {} over {} to {} rpm: bias of each cylinder and spread{}",
                    escaped(curve.name),
                    rpm_text(steps.front()->speed),
                    rpm_text(steps.back()->speed),
                    curve.worst ? fmt::format("; largest spread {} % at {} rpm",
                                              fixed(percent(curve.worst->spread), 1),
                                              rpm_text(curve.worst->speed))
                                : ""));
    text += bias_lines(steps, numbers, x, biases);
    text += spread_lines(curve, steps, target, x, spreads);
    text += reversal_marks(turns, x) + speed_axis(x);
    return text +
           fmt::format(
               "</svg></div>\n<figcaption>Curve {}: bias of each cylinder over speed, and below it "
               "the spread with its band and the target. Grey: less than can be told "
               "apart.{} {}</figcaption></figure>\n",
               escaped(curve.name),
               turns.empty() ? "" : " Dotted:",
               escaped(reversal_text(turns, (*any)->banks.size() > 1)));
}

}  // namespace

std::string curve_charts(const SolveResult& result, double target) {
    std::string text;
    for (const auto& curve : result.curves) text += figure(result, curve, target);
    return text;
}

}  // namespace plenair::html

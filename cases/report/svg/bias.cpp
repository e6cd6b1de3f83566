#include "cases/report/svg/svg.hpp"

#include "cases/report/markup/markup.hpp"
#include "cases/report/markup/result_words.hpp"
#include "cases/report/words/numbers.hpp"
#include "geometry/places.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace plenair::html {

namespace {

// One panel, in its own units; the page scales it. Colours stand in attributes too, for readers
// that drop the style sheet.
constexpr double height = 172, left = 6, right = 6, top = 42, bottom = 26;
constexpr double least_width = 176, column_pitch = 33;

struct Panel {
    double limit = 0.01;  ///< bias at the upper and lower edge
    double target = 0;  ///< spread above which the panel is marked; 0: none
    double width = least_width;
    double middle() const { return top + 0.5 * (height - top - bottom); }
    double y(double bias) const {
        return middle() - bias / limit * (0.5 * (height - top - bottom) - 13);
    }
};

std::string words(
    const char* style, double x, double y, const char* fill, int size, const std::string& text) {
    return fmt::format(
        "<text class=\"{}\" x=\"{:.1f}\" y=\"{:.1f}\" fill=\"{}\" font-size=\"{}\" "
        "text-anchor=\"middle\" font-family=\"sans-serif\">{}</text>\n",
        style,
        x,
        y,
        fill,
        size,
        text);
}

std::string column(const Panel& panel, const CylinderResult& c, double x, double wide, bool told) {
    const double y = panel.y(c.bias), zero = panel.y(0);
    const bool more = c.bias > 0;
    std::string text = fmt::format(
        "<rect class=\"{}\" x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" "
        "fill=\"{}\"/>\n",
        !told  ? "bar even"
        : more ? "bar more"
               : "bar less",
        x - 0.5 * wide,
        std::min(y, zero),
        wide,
        std::max(std::abs(y - zero), 0.8),
        !told  ? "#7d858c"
        : more ? "#b8500a"
               : "#17508f");
    text += words("value",
                  x,
                  more ? std::min(y, zero) - 4 : std::max(y, zero) + 12,
                  "#20262c",
                  11,
                  bias_text(c.bias));
    text += words("name", x, height - 9, "#20262c", 12, std::to_string(c.cylinder));
    return text;
}

/// The cylinders bank by bank in the order in which they stand along x; by number where that is
/// not known.
std::vector<const CylinderResult*> along_x(const PointResult& point) {
    std::vector<const CylinderResult*> order;
    for (const auto& bank : point.banks) {
        for (const int number : bank.cylinders) {
            if (const auto* c = find_cylinder(point, number)) order.push_back(c);
        }
    }
    if (order.size() == point.cylinders.size()) return order;
    order.clear();
    for (const auto& c : point.cylinders) order.push_back(&c);
    return order;
}

/// "cylinders in their order along x from x = 0", with banks "bank left (1, 3, 5 and 7), then ...".
std::string order_words(const SolveResult& result) {
    const auto& banks = banks_of(result);
    if (banks.empty()) return "cylinders by number";
    std::string text = "cylinders in their order along x";
    for (std::size_t i = 0; i < banks.size() && banks.size() > 1; ++i) {
        text += fmt::format("{}{} ({})",
                            i == 0 ? ", " : ", then ",
                            escaped(geometry::bank_words(banks[i].name)),
                            geometry::listed(banks[i].cylinders));
    }
    return text;
}

std::string label_of(const PointResult& point) {
    std::string text = fmt::format("{} at {} rpm: ", escaped(point.name), rpm_text(point.speed));
    for (const auto& c : point.cylinders) {
        text += fmt::format("cylinder {} {} %, ", c.cylinder, signed_percent(c.bias));
    }
    return text + "spread " + fixed(percent(point.spread), 1) + " %";
}

std::string panel_text(const PointResult& point, const Panel& panel) {
    const double width = panel.width;
    const bool misses = panel.target > 0 && point.converged && !meets(point, panel.target);
    std::string text = fmt::format(
        "<svg class=\"panel{3}\" role=\"img\" viewBox=\"0 0 {0:.0f} {1:.0f}\" width=\"{0:.0f}\" "
        "height=\"{1:.0f}\" aria-label=\"{2}\">\n",
        width,
        height,
        point.converged ? label_of(point) + (misses ? ", over the target" : "")
                        : escaped(point.name) + ": did not converge",
        misses ? " misses" : "");
    text += fmt::format(
        "<text class=\"title\" x=\"8\" y=\"16\" fill=\"#20262c\" font-size=\"14\" "
        "font-weight=\"bold\" font-family=\"sans-serif\">{}</text>\n"
        "<text class=\"{}\" x=\"8\" y=\"33\" fill=\"{}\" font-size=\"12\" "
        "font-family=\"sans-serif\">{} rpm, {}</text>\n",
        escaped(point.name),
        misses ? "alarm-word" : "name",
        misses ? "#9c1c2c" : "#4a525a",
        rpm_text(point.speed),
        point.converged ? "spread " + spread_text(point, misses ? panel.target : 0) + " %"
                        : "no result");
    if (misses) {
        text += fmt::format(
            "<rect class=\"miss\" x=\"1\" y=\"1\" width=\"{:.0f}\" height=\"{:.0f}\" rx=\"5\" "
            "fill=\"none\" stroke=\"#9c1c2c\" stroke-width=\"2\"/>\n"
            "<path class=\"miss-mark\" d=\"M{:.0f},17l5,-10l5,10z\" fill=\"#9c1c2c\"/>\n",
            width - 2,
            height - 2,
            width - 18);
    }
    if (!point.converged || point.cylinders.empty()) {
        return text +
               words("name", 0.5 * width, panel.middle(), "#4a525a", 12, "did not converge") +
               "</svg>\n";
    }
    const double uncertainty = std::min(least_difference(point), panel.limit);
    text += fmt::format(
        "<rect class=\"band\" x=\"{:.0f}\" y=\"{:.1f}\" width=\"{:.0f}\" height=\"{:.1f}\" "
        "fill=\"#e9ecef\"/>\n",
        left,
        panel.y(uncertainty),
        width - left - right,
        panel.y(-uncertainty) - panel.y(uncertainty));
    const double step = (width - left - right) / static_cast<double>(point.cylinders.size());
    double x = left + 0.5 * step;
    for (const auto* c : along_x(point)) {
        text += column(
            panel, *c, x, std::min(0.62 * step, 26.0), std::abs(c->bias) > least_difference(point));
        x += step;
    }
    text += fmt::format(
        "<line class=\"zero\" x1=\"{0:.0f}\" x2=\"{1:.0f}\" y1=\"{2:.1f}\" y2=\"{2:.1f}\" "
        "stroke=\"#20262c\"/>\n",
        left,
        width - right,
        panel.y(0));
    return text + "</svg>\n";
}

/// Biases at the edges of a panel that stands alone.
constexpr std::array<double, 8> panel_limits = {0.01, 0.02, 0.03, 0.05, 0.08, 0.12, 0.2, 0.4};

}  // namespace

std::string bias_panel(const PointResult& point) {
    double largest = 0;
    for (const auto& c : point.cylinders) largest = std::max(largest, std::abs(c.bias));
    Panel panel;
    const auto limit = std::find_if(
        panel_limits.begin(), panel_limits.end(), [=](double each) { return each >= largest; });
    panel.limit = limit == panel_limits.end() ? largest : *limit;
    panel.width = std::max(
        panel.width, left + right + column_pitch * static_cast<double>(point.cylinders.size()));
    return panel_text(point, panel);
}

namespace {

bool any_misses(const SolveResult& result, double target) {
    return std::any_of(result.points.begin(), result.points.end(), [target](const auto& point) {
        return point.converged && !meets(point, target);
    });
}

}  // namespace

std::string bias_panels(const SolveResult& result, double target) {
    Panel panel;
    panel.target = target;
    for (const auto& point : result.points) {
        if (!point.converged) continue;
        const auto count = static_cast<double>(point.cylinders.size());
        panel.width = std::max(panel.width, left + right + column_pitch * count);
        for (const auto& c : point.cylinders) panel.limit = std::max(panel.limit, std::abs(c.bias));
    }
    std::string text = fmt::format("<figure class=\"panels\">\n<div class=\"grid{}\">\n",
                                   panel.width > least_width ? " wide" : "");
    // A curve would be dozens of panels: the chart over speed shows it, its worst speed is here.
    for (std::size_t p = 0; p < result.points.size(); ++p) {
        if (result.curve_of(p) == nullptr) text += panel_text(result.points[p], panel);
    }
    for (const auto& curve : result.curves) {
        if (curve.worst && !curve.worst->cylinders.empty()) {
            text += panel_text(*curve.worst, panel);
        }
    }
    return text +
           "</div>\n<figcaption>Bias of each cylinder in % of the mean air, one panel a point, all "
           "on one scale; " +
           order_words(result) +
           ". Up is more air, so leaner on equal fuel. Grey: less than can be told "
           "apart." +
           (any_misses(result, target)
                ? fmt::format(" Framed, with a triangle: the spread is over the target of {} %.",
                              fixed(percent(target), 1))
                : "") +
           "</figcaption>\n</figure>\n";
}

}  // namespace plenair::html

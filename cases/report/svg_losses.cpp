#include "cases/report/html_parts.hpp"
#include "cases/report/numbers.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace plenair::html {

namespace {

constexpr double width = 720, left = 120, right = 70, row = 34, bar = 20, top = 30;

struct Kind {
    const char* name;
    double PointResult::*member;
    const char* style;
    const char* fill;
};

constexpr std::array<Kind, 4> kinds = {{
    {"throttle", &PointResult::throttle_loss, "part-1", "#17508f"},
    {"slot", &PointResult::slot_loss, "part-2", "#d1600a"},
    {"bell mouths", &PointResult::mouth_loss, "part-3", "#1a9a86"},
    {"runner and port", &PointResult::port_loss, "part-4", "#8a2a6d"},
}};

double share(const PointResult& point, const Kind& kind) {
    return std::max(0.0, point.*kind.member / point.source_pressure);
}

double sum(const PointResult& point) {
    double total = 0;
    for (const auto& kind : kinds) total += share(point, kind);
    return total;
}

std::string legend() {
    std::string text;
    double x = left;
    for (const auto& kind : kinds) {
        text += fmt::format(
            "<rect class=\"{}\" x=\"{:.0f}\" y=\"6\" width=\"12\" height=\"12\" fill=\"{}\"/>"
            "<text class=\"name\" x=\"{:.0f}\" y=\"16\" fill=\"#20262c\" font-size=\"13\" "
            "font-family=\"sans-serif\">{}</text>\n",
            kind.style,
            x,
            kind.fill,
            x + 17,
            kind.name);
        x += 17 + 9.0 * static_cast<double>(std::string_view(kind.name).size()) + 20;
    }
    return text;
}

std::string row_text(const PointResult& point, double y, double scale) {
    std::string text = fmt::format(
        "<text class=\"name\" x=\"{:.0f}\" y=\"{:.1f}\" fill=\"#20262c\" font-size=\"13\" "
        "text-anchor=\"end\" font-family=\"sans-serif\">{}, {} rpm</text>\n",
        left - 8,
        y + 15,
        escaped(point.name),
        rpm_text(point.speed));
    double x = left;
    for (const auto& kind : kinds) {
        const double wide = share(point, kind) * scale;
        if (!(wide > 0)) continue;
        text += fmt::format(
            "<rect class=\"{}\" x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.0f}\" "
            "fill=\"{}\"/>\n",
            kind.style,
            x,
            y,
            wide,
            bar,
            kind.fill);
        const auto value = fixed(percent(share(point, kind)), 1);
        if (wide > 30) {
            text += fmt::format(
                "<text class=\"inside\" x=\"{:.1f}\" y=\"{:.1f}\" fill=\"#ffffff\" "
                "font-size=\"11\" text-anchor=\"middle\" font-family=\"sans-serif\">{}</text>\n",
                x + 0.5 * wide,
                y + 14,
                value);
        }
        x += wide;
    }
    return text + fmt::format(
                      "<text class=\"value\" x=\"{:.1f}\" y=\"{:.1f}\" fill=\"#20262c\" "
                      "font-size=\"12\" font-family=\"sans-serif\">{} %</text>\n",
                      x + 6,
                      y + 15,
                      fixed(percent(sum(point)), 1));
}

std::string spoken(const PointResult& point) {
    std::string text = escaped(point.name) + ": ";
    for (const auto& kind : kinds) {
        text += fmt::format("{} {} %, ", kind.name, fixed(percent(share(point, kind)), 1));
    }
    return text;
}

}  // namespace

std::string loss_bars(const SolveResult& result) {
    double largest = 0;
    std::string label = "Losses in percent of the pressure before the throttle. ";
    std::vector<const PointResult*> shown;
    for (const auto* point : result.telling()) {
        if (!point->converged) continue;
        shown.push_back(point);
        largest = std::max(largest, sum(*point));
        label += spoken(*point);
    }
    if (!(largest > 0)) return "";
    const double scale = (width - left - right) / largest;
    const double height = top + row * static_cast<double>(shown.size());
    std::string text = fmt::format(
        "<figure class=\"losses\"><div class=\"scroll\" tabindex=\"0\" role=\"region\" "
        "aria-label=\"Losses as bars\">\n<svg role=\"img\" viewBox=\"0 0 {0:.0f} {1:.0f}\" "
        "width=\"{0:.0f}\" height=\"{1:.0f}\" aria-label=\"{2}\">\n",
        width,
        height,
        label);
    text += legend();
    double y = top;
    for (const auto* point : shown) {
        text += row_text(*point, y, scale);
        y += row;
    }
    return text +
           "</svg></div>\n<figcaption>Total pressure lost on the way, in % of the pressure before "
           "the throttle.</figcaption></figure>\n";
}

}  // namespace plenair::html

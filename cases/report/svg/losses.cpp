#include "cases/report/svg/svg.hpp"

#include "cases/report/markup/markup.hpp"
#include "cases/report/markup/result_words.hpp"
#include "cases/report/words/numbers.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string_view>
#include <vector>

namespace plenair::html {

namespace {

constexpr double width = 720, right = 70, row = 34, bar = 20, top = 30;
constexpr double letter = 7.6;  ///< of a label, so wide that no font clips it
constexpr std::size_t longest_label = 36;

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

/// "A1, 3500 rpm"; a long name is cut where the chart would have no room left.
std::string label_of(const PointResult& point) {
    const std::string speed = fmt::format(", {} rpm", rpm_text(point.speed));
    std::string name = point.name;
    if (name.size() + speed.size() > longest_label) {
        std::size_t end = longest_label - speed.size() - 3;
        while (end > 0 && (static_cast<unsigned char>(name[end]) & 0xC0U) == 0x80U) --end;
        name = name.substr(0, end) + "...";
    }
    return name + speed;
}

/// Room for the longest label of all rows.
double room_for(const std::vector<const PointResult*>& points) {
    std::size_t most = 0;
    for (const auto* point : points) most = std::max(most, label_of(*point).size());
    return std::max(120.0, 16 + letter * static_cast<double>(most));
}

std::string legend(double left) {
    std::string text;
    double x = std::min(left, 200.0);  // all four fit beside it
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

std::string row_text(const PointResult& point, double left, double y, double scale) {
    std::string text = fmt::format(
        "<text class=\"name\" x=\"{:.0f}\" y=\"{:.1f}\" fill=\"#20262c\" font-size=\"13\" "
        "text-anchor=\"end\" font-family=\"sans-serif\">{}</text>\n",
        left - 8,
        y + 15,
        escaped(label_of(point)));
    double x = left;
    for (const auto& kind : kinds) {
        const double wide = share(point, kind) * scale;
        if (!(wide > 0)) continue;
        text += fmt::format(
            "<rect class=\"{}\" x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.0f}\" "
            "fill=\"{}\"><title>{}: {} {} %</title></rect>\n",
            kind.style,
            x,
            y,
            wide,
            bar,
            kind.fill,
            escaped(point.name),
            kind.name,
            fixed(percent(share(point, kind)), 2));
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
    const double left = room_for(shown);
    const double scale = (width - left - right) / largest;
    const double height = top + row * static_cast<double>(shown.size());
    std::string text = fmt::format(
        "<figure class=\"losses\"><div class=\"scroll\" tabindex=\"0\" role=\"region\" "
        "aria-label=\"Losses as bars\">\n<svg role=\"img\" viewBox=\"0 0 {0:.0f} {1:.0f}\" "
        "width=\"{0:.0f}\" height=\"{1:.0f}\" aria-label=\"{2}\">\n",
        width,
        height,
        label);
    text += legend(left);
    double y = top;
    for (const auto* point : shown) {
        text += row_text(*point, left, y, scale);
        y += row;
    }
    return text +
           "</svg></div>\n<figcaption>Total pressure lost on the way, in % of the pressure before "
           "the throttle.</figcaption></figure>\n";
}

}  // namespace plenair::html

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "cases/report/drawing/drawing.hpp"
#include "cases/report/markup/markup.hpp"
#include "cases/report/words/numbers.hpp"

namespace plenair {

namespace {

using drawing::Layer;
using drawing::Point;

constexpr double picture_width = 1000;  ///< [user units], about pixels
constexpr double margin = 12;
constexpr double units_per_paper_mm = 4;  ///< where the picture is printed to scale

/// Looks of a layer, as attributes so that a strict content security policy has nothing to refuse.
struct Pen {
    double width = 1;
    const char* dashes = "";
    double opacity = 1;
};

Pen pen(Layer layer) {
    switch (layer) {
        case Layer::outline:
            return {1.6};
        case Layer::slot:
            return {2.2};
        case Layer::runner:
        case Layer::throttle:
            return {1.3};
        case Layer::centre:
            return {0.7, "10 3 2 3", 0.75};
        case Layer::dimension:
        case Layer::note:
            return {0.7};
    }
    return {};
}

/// Coordinates with two decimals: a hundredth of a pixel.
std::string number(double value) {
    std::string text = fixed(value, 2);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') {
        text.pop_back();
    }
    return text;
}

class SvgPainter final {
public:
    SvgPainter(const drawing::View& view, Point origin, double scale)
        : view_(view), origin_(origin), scale_(scale) {}

    std::string paint() {
        for (const Layer layer : drawing::layers) {
            std::string content;
            for (const auto& line : view_.polylines) {
                if (line.layer == layer) {
                    content += polyline(line);
                }
            }
            for (const auto& each : view_.arcs) {
                if (each.layer == layer) {
                    content += arc(each);
                }
            }
            if (layer == Layer::dimension) {
                for (const auto& dimension : view_.dimensions) {
                    content += dimension_picture(dimension);
                }
            }
            open_group(layer, content);
        }
        for (const auto& each : view_.texts) {
            out_ += text(each, false);
        }
        if (!view_.title.empty()) {
            const auto box = drawing::bounds(view_);
            out_ += fmt::format(
                "<text x=\"{}\" y=\"{}\" font-size=\"{}\" font-weight=\"600\" "
                "fill=\"currentColor\">{}</text>\n",
                number(x(box.left)),
                number(y(box.top - 1.2 * view_.text)),
                number(1.1 * view_.text * scale_),
                html::escaped(drawing::magnified_title(view_)));
        }
        return out_;
    }

private:
    [[nodiscard]] double x(double value) const { return origin_.x + value * scale_; }
    [[nodiscard]] double y(double value) const { return origin_.y - value * scale_; }

    void open_group(Layer layer, const std::string& content) {
        if (content.empty()) {
            return;
        }
        const Pen look = pen(layer);
        out_ += fmt::format(
            "<g fill=\"none\" stroke=\"currentColor\" stroke-width=\"{}\"{}{} "
            "stroke-linejoin=\"round\">\n{}</g>\n",
            number(look.width),
            *look.dashes != 0 ? fmt::format(" stroke-dasharray=\"{}\"", look.dashes)
                              : std::string(),
            look.opacity < 1 ? fmt::format(" stroke-opacity=\"{}\"", number(look.opacity))
                             : std::string(),
            content);
    }

    [[nodiscard]] std::string points(const std::vector<Point>& list) const {
        std::string all;
        for (const auto& point : list) {
            all += fmt::format(
                "{}{},{}", all.empty() ? "" : " ", number(x(point.x)), number(y(point.y)));
        }
        return all;
    }

    /// A line with arcs in it as a path.
    [[nodiscard]] std::string curved(const drawing::Polyline& line) const {
        std::string path;
        const std::size_t n = line.points.size();
        for (std::size_t i = 0; i < n + (line.closed ? 1 : 0); ++i) {
            const Point& to = line.points[i % n];
            const double bulge = i == 0 ? 0 : line.bulge(i - 1);
            const std::string at = number(x(to.x)) + " " + number(y(to.y));
            if (bulge != 0) {
                const Point& from = line.points[i - 1];
                const double chord = std::hypot(to.x - from.x, to.y - from.y);
                const double radius = scale_ * chord * (1 + bulge * bulge) / (4 * std::abs(bulge));
                path += fmt::format("A{0} {0} 0 {1} {2} {3}",
                                    number(radius),
                                    std::abs(bulge) > 1 ? 1 : 0,
                                    bulge < 0 ? 1 : 0,
                                    at);
            } else {
                path += (i == 0 ? "M" : "L") + at;
            }
        }
        return fmt::format("<path d=\"{}{}\"/>\n", path, line.closed ? "Z" : "");
    }

    [[nodiscard]] std::string polyline(const drawing::Polyline& line) const {
        if (!line.bulges.empty()) {
            return curved(line);
        }
        return fmt::format(
            "<{} points=\"{}\"/>\n", line.closed ? "polygon" : "polyline", points(line.points));
    }

    [[nodiscard]] std::string arc(const drawing::Arc& each) const {
        const double radius = each.radius * scale_;
        if (each.full()) {
            return fmt::format("<circle cx=\"{}\" cy=\"{}\" r=\"{}\"/>\n",
                               number(x(each.centre.x)),
                               number(y(each.centre.y)),
                               number(radius));
        }
        const auto at = [&](double degrees) {
            const double angle = geometry_angle(degrees);
            return fmt::format("{} {}",
                               number(x(each.centre.x) + radius * std::cos(angle)),
                               number(y(each.centre.y) - radius * std::sin(angle)));
        };
        return fmt::format("<path d=\"M{} A{} {} 0 {} 0 {}\"/>\n",
                           at(each.start),
                           number(radius),
                           number(radius),
                           each.end - each.start > 180 ? 1 : 0,
                           at(each.end));
    }

    static double geometry_angle(double degrees) { return degrees * std::numbers::pi / 180; }

    [[nodiscard]] std::string text(const drawing::Text& each, bool diameter) const {
        const char* anchor = each.align == drawing::Align::left     ? "start"
                             : each.align == drawing::Align::centre ? "middle"
                                                                    : "end";
        const std::string turn = each.angle != 0 ? fmt::format(" transform=\"rotate({} {} {})\"",
                                                               number(-each.angle),
                                                               number(x(each.at.x)),
                                                               number(y(each.at.y)))
                                                 : std::string();
        return fmt::format(
            "<text x=\"{}\" y=\"{}\" font-size=\"{}\" text-anchor=\"{}\" fill=\"currentColor\" "
            "stroke=\"none\"{}>{}{}</text>\n",
            number(x(each.at.x)),
            number(y(each.at.y)),
            number(each.size * view_.text * scale_),
            anchor,
            turn,
            diameter ? "&#8960; " : "",
            html::escaped(each.text));
    }

    [[nodiscard]] std::string dimension_picture(const drawing::Dimension& dimension) const {
        const auto shown = drawing::picture(dimension, view_.text);
        std::string all;
        for (const auto& line : shown.lines) {
            all += polyline(line);
        }
        for (const auto& arrow : shown.arrows) {
            all += fmt::format("<polygon points=\"{}\" fill=\"currentColor\" stroke=\"none\"/>\n",
                               points({arrow.begin(), arrow.end()}));
        }
        return shown.label.text.empty() ? all : all + text(shown.label, dimension.diameter);
    }

    const drawing::View& view_;
    Point origin_;
    double scale_;
    std::string out_;
};

}  // namespace

std::string drawing_svg(const drawing::Drawing& drawing, const DrawingOptions& options) {
    double text = 0;
    for (const auto& view : drawing.views) {
        text = std::max(text, view.text);
    }
    const auto placement = drawing::place(drawing, true, 2.5 * text);
    const double fitted = placement.width > 0 ? (picture_width - 2 * margin) / placement.width : 1;
    const bool to_scale = options.paper_scale > 0;
    const double scale = to_scale ? options.paper_scale * units_per_paper_mm : fitted;
    const double width = to_scale ? std::ceil(placement.width * scale + 2 * margin) : picture_width;
    const double height = std::ceil(placement.height * scale + 2 * margin);
    std::string body;
    for (std::size_t i = 0; i < drawing.views.size(); ++i) {
        const auto& view = drawing.views[i];
        const Point origin{margin + placement.origins[i].x * scale,
                           margin - placement.origins[i].y * scale};
        body += SvgPainter(view, origin, scale * view.magnification).paint();
    }
    const std::string id = html::escaped(options.id);
    // Colours of a stand-alone file follow the reader's choice of light or dark.
    const std::string style =
        options.stand_alone
            ? "<style>:root{color-scheme:light dark;color:#111;background:#fff}"
              "@media (prefers-color-scheme:dark){:root{color:#eee;background:#161616}}</style>\n"
            : "";
    std::string size;
    if (to_scale) {
        size = fmt::format(" width=\"{}mm\" height=\"{}mm\"",
                           number(width / units_per_paper_mm),
                           number(height / units_per_paper_mm));
    } else if (options.stand_alone) {
        size = fmt::format(" width=\"{}\" height=\"{}\"", number(width), number(height));
    }
    return fmt::format(
        "{0}<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {1} {2}\"{3} role=\"img\" "
        "aria-labelledby=\"{4}-title {4}-text\" font-family=\"Helvetica, Arial, "
        "sans-serif\">\n<title id=\"{4}-title\">{5}</title>\n<desc id=\"{4}-text\">{6}</desc>\n"
        "{7}{8}</svg>\n",
        options.stand_alone ? "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" : "",
        number(width),
        number(height),
        size,
        id,
        html::escaped(options.title),
        html::escaped(drawing.description),
        style,
        body);
}

}  // namespace plenair

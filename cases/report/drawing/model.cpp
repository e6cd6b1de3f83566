#include "cases/report/drawing/model.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "cases/report/words/numbers.hpp"
#include "geometry/quantity.hpp"

namespace plenair::drawing {

std::string layer_name(Layer layer) {
    switch (layer) {
        case Layer::outline:
            return "OUTLINE";
        case Layer::slot:
            return "SLOT";
        case Layer::runner:
            return "RUNNER";
        case Layer::throttle:
            return "THROTTLE";
        case Layer::centre:
            return "CENTRE";
        case Layer::dimension:
            return "DIMENSION";
        case Layer::note:
            return "NOTE";
    }
    return "NOTE";
}

std::string drawn_size(double value, const geometry::OutputUnits& units) {
    const double length = geometry::from_unit(value, "mm");
    const auto text = geometry::format_length(length, units);
    return units.inches() ? text.substr(0, text.find(' ')) : drawn_number(value);
}

double Dimension::value() const {
    switch (measure) {
        case Measure::along_x:
            return std::abs(to.x - from.x);
        case Measure::along_y:
            return std::abs(to.y - from.y);
        case Measure::ordinate_x:
            return to.x - from.x;
        case Measure::radius:
            return std::hypot(to.x - from.x, to.y - from.y);
    }
    return 0;
}

std::string drawn_number(double value, int decimals) {
    std::string text = fixed(value, decimals);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') {
        text.pop_back();
    }
    return text;
}

double text_width(const std::string& text) {
    const auto letters = std::count_if(text.begin(), text.end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
    });
    return 0.62 * static_cast<double>(letters);
}

namespace {

void grow(Box& box, Point point) {
    box.left = std::min(box.left, point.x);
    box.right = std::max(box.right, point.x);
    box.bottom = std::min(box.bottom, point.y);
    box.top = std::max(box.top, point.y);
}

void grow(Box& box, const Text& text, double height) {
    const double size = text.size * height;
    const double width = text_width(text.text) * size;
    const double start = text.align == Align::left     ? 0
                         : text.align == Align::centre ? -width / 2
                                                       : -width;
    const bool upright = std::abs(text.angle - 90) < 1;
    for (const double along : {start, start + width}) {
        for (const double up : {-0.25 * size, size}) {
            grow(box,
                 upright ? Point{text.at.x - up, text.at.y + along}
                         : Point{text.at.x + along, text.at.y + up});
        }
    }
}

}  // namespace

std::string magnified_title(const View& view) {
    return view.magnification == 1
               ? view.title
               : fmt::format("{}, {} times as large", view.title, drawn_number(view.magnification));
}

Box bounds(const View& view) {
    constexpr double far = std::numeric_limits<double>::max();
    Box box{far, far, -far, -far};
    const auto lines = [&box](const std::vector<Polyline>& list) {
        for (const auto& line : list) {
            for (const auto& point : line.points) {
                grow(box, point);
            }
        }
    };
    lines(view.polylines);
    for (const auto& arc : view.arcs) {
        grow(box, {arc.centre.x - arc.radius, arc.centre.y - arc.radius});
        grow(box, {arc.centre.x + arc.radius, arc.centre.y + arc.radius});
    }
    for (const auto& text : view.texts) {
        grow(box, text, view.text);
    }
    for (const auto& dimension : view.dimensions) {
        const auto shown = picture(dimension, view.text);
        lines(shown.lines);
        for (const auto& arrow : shown.arrows) {
            for (const auto& point : arrow) {
                grow(box, point);
            }
        }
        grow(box, shown.label, view.text);
    }
    if (box.right < box.left) {
        return {};
    }
    if (!view.title.empty()) {
        box.top += 2.4 * view.text;
        box.right =
            std::max(box.right, box.left + 1.15 * text_width(magnified_title(view)) * view.text);
    }
    return box;
}

Placement place(const Drawing& drawing, bool magnified, double gap) {
    Placement placement;
    placement.origins.resize(drawing.views.size());
    double datum = 0;
    for (const auto& view : drawing.views) {
        datum = view.in_line ? std::max(datum, -bounds(view).left) : datum;
    }
    double top = 0;
    for (std::size_t i = 0; i < drawing.views.size();) {
        double left = 0;
        double height = 0;
        std::size_t next = i;
        for (; next < drawing.views.size() && drawing.views[next].row == drawing.views[i].row;
             ++next) {
            const auto& view = drawing.views[next];
            const double scale = magnified ? view.magnification : 1;
            const Box box = bounds(view);
            const double x = view.in_line ? datum : left - box.left * scale;
            placement.origins[next] = {x, top - box.top * scale};
            left = x + box.right * scale + gap;
            height = std::max(height, box.height() * scale);
        }
        placement.width = std::max(placement.width, left - gap);
        top -= height + gap;
        i = next;
    }
    placement.height = -top - gap;
    return placement;
}

std::vector<double> spread_apart(std::vector<double> wanted, double width) {
    // Neighbours that overlap form a group; a group stands about the mean of its wishes.
    struct Group {
        double sum = 0;
        std::size_t count = 0;
    };
    std::vector<Group> groups;
    const auto left = [width](const Group& group) {
        const auto n = static_cast<double>(group.count);
        return group.sum / n - 0.5 * (n - 1) * width;
    };
    for (const double x : wanted) {
        groups.push_back({x, 1});
        while (groups.size() > 1) {
            const Group& last = groups.back();
            Group& before = groups[groups.size() - 2];
            if (left(before) + static_cast<double>(before.count) * width <= left(last)) {
                break;
            }
            before.sum += last.sum;
            before.count += last.count;
            groups.pop_back();
        }
    }
    std::size_t i = 0;
    for (const auto& group : groups) {
        for (std::size_t k = 0; k < group.count; ++k) {
            wanted[i++] = left(group) + static_cast<double>(k) * width;
        }
    }
    return wanted;
}

}  // namespace plenair::drawing

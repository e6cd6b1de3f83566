#include "cases/report/drawing/model.hpp"

#include <cmath>

/// How a dimension looks, after ISO 129-1: extension lines, a dimension line with filled arrows,
/// the number above the line; running dimensions from the datum.
namespace plenair::drawing {

namespace {

constexpr double arrow_length = 0.8;  ///< in text heights, as all below
constexpr double arrow_half_width = 0.16;
constexpr double gap = 0.25;  ///< between part and extension line
constexpr double overshoot = 0.4;  ///< of the extension line past the dimension line
constexpr double lift = 0.3;  ///< of the text above the dimension line

std::string label(const Dimension& dimension) {
    return (dimension.measure == Measure::radius ? "R " : "") +
           (dimension.units.inches() ? drawn_size(dimension.value(), dimension.units)
                                     : drawn_number(dimension.value(), dimension.decimals)) +
           dimension.after;
}

/// Width of the label with its diameter sign.
double label_width(const Dimension& dimension) {
    return text_width(label(dimension)) + (dimension.diameter ? 0.9 : 0);
}

Polyline stroke(Point from, Point to) {
    return {Layer::dimension, {from, to}, false};
}

/// A point `along` and `across` from an origin, along x or along y.
struct Frame {
    Point origin;
    bool upright = false;
    [[nodiscard]] Point at(double along, double across) const {
        return upright ? Point{origin.x + across, origin.y + along}
                       : Point{origin.x + along, origin.y + across};
    }
};

/// Arrow head with its tip at `along` on the line, pointing in the direction of `sign`.
std::array<Point, 3> arrow(const Frame& frame, double along, double sign, double height) {
    const double back = along - sign * arrow_length * height;
    return {frame.at(along, 0),
            frame.at(back, arrow_half_width * height),
            frame.at(back, -arrow_half_width * height)};
}

void add_extension(
    DimensionPicture& shown, const Frame& frame, double along, double part, double height) {
    const double side = part < 0 ? -1 : 1;  // where the part lies, seen from the line
    if (std::abs(part) > gap * height) {
        shown.lines.push_back(stroke(frame.at(along, part - side * gap * height),
                                     frame.at(along, -side * overshoot * height)));
    }
}

DimensionPicture linear(const Dimension& d, double height) {
    const bool upright = d.measure == Measure::along_y;
    const Frame frame{upright ? Point{d.line, 0} : Point{0, d.line}, upright};
    const double a = upright ? std::min(d.from.y, d.to.y) : std::min(d.from.x, d.to.x);
    const double b = upright ? std::max(d.from.y, d.to.y) : std::max(d.from.x, d.to.x);
    const bool ordered = upright ? d.from.y <= d.to.y : d.from.x <= d.to.x;
    const Point first = ordered ? d.from : d.to;
    const Point second = ordered ? d.to : d.from;
    DimensionPicture shown;
    add_extension(shown, frame, a, upright ? first.x - d.line : first.y - d.line, height);
    add_extension(shown, frame, b, upright ? second.x - d.line : second.y - d.line, height);
    const double room = (b - a) / height;
    const double width = label_width(d);
    const double up = upright ? -lift : lift;  // upright text is read from the right
    shown.label = {Layer::dimension, {}, label(d), 1, Align::centre, upright ? 90.0 : 0.0};
    if (room > 2 * arrow_length + 0.6) {
        shown.lines.push_back(stroke(frame.at(a, 0), frame.at(b, 0)));
        shown.arrows = {arrow(frame, a, -1, height), arrow(frame, b, 1, height)};
        if (room > (d.aside ? 2 * width + 2 : width + 0.4)) {
            const double share = d.aside ? 0.75 : 0.5;
            shown.label.at = frame.at(share * a + (1 - share) * b, up * height);
            return shown;
        }
    } else {
        const double tail = 2 * arrow_length * height;
        shown.lines.push_back(stroke(frame.at(a - tail, 0), frame.at(b + tail, 0)));
        shown.arrows = {arrow(frame, a, 1, height), arrow(frame, b, -1, height)};
    }
    // No room between: the text stands behind the second arrow, on a longer line.
    double start = b + 2 * arrow_length * height;
    const bool crossed = upright && start < d.above && start + (width + lift) * height > d.above;
    start = crossed ? d.above + lift * height : start;
    shown.lines.push_back(stroke(frame.at(b, 0), frame.at(start + width * height, 0)));
    shown.label.at = frame.at(start + 0.5 * width * height, up * height);
    return shown;
}

DimensionPicture ordinate(const Dimension& d, double height) {
    const double side = d.line < d.to.y ? -1 : 1;
    DimensionPicture shown;
    const double knee = d.line - side * 1.6 * height;
    const Point start{d.to.x, d.to.y + side * gap * height};
    if (std::abs(d.text_x - d.to.x) < 0.01 * height) {
        shown.lines.push_back(stroke(start, {d.to.x, d.line}));
    } else {
        shown.lines.push_back(
            {Layer::dimension,
             {start, {d.to.x, knee}, {d.text_x, knee + side * 1.0 * height}, {d.text_x, d.line}},
             false});
    }
    shown.label = {Layer::dimension,
                   {d.text_x + 0.36 * height, d.line + side * 0.3 * height},
                   label(d),
                   1,
                   side < 0 ? Align::right : Align::left,
                   90};
    return shown;
}

DimensionPicture radius(const Dimension& d, double height) {
    DimensionPicture shown;
    const double length = d.value();
    if (!(length > 0)) {
        return shown;
    }
    const Point unit{(d.to.x - d.from.x) / length, (d.to.y - d.from.y) / length};
    const double away = d.text_x < 0 ? -1 : 1;
    // The leader comes from the side of the centre, where the air is on an inlet edge.
    const double reach = std::abs(d.line) * away;
    const Point elbow{d.to.x + unit.x * reach, d.to.y + unit.y * reach};
    const double side = elbow.x < d.to.x ? -1 : 1;
    const double width = label_width(d) * height;
    shown.lines.push_back({Layer::dimension,
                           {d.to, elbow, {elbow.x + side * (width + 0.3 * height), elbow.y}},
                           false});
    const Point back{d.to.x + unit.x * away * arrow_length * height,
                     d.to.y + unit.y * away * arrow_length * height};
    const double half = arrow_half_width * height;
    shown.arrows = {{d.to,
                     {back.x - unit.y * half, back.y + unit.x * half},
                     {back.x + unit.y * half, back.y - unit.x * half}}};
    shown.label = {Layer::dimension,
                   {elbow.x + side * 0.3 * height, elbow.y + lift * height},
                   label(d),
                   1,
                   side < 0 ? Align::right : Align::left,
                   0};
    return shown;
}

}  // namespace

void add_chain(View& view,
               const std::vector<double>& x,
               double y,
               double line,
               const geometry::OutputUnits& units) {
    const auto fits = [&](std::size_t i) {
        const double size = x[i] - x[i - 1];
        return size / view.text > text_width(drawn_size(size, units)) + 0.4;
    };
    for (std::size_t i = 2; i + 1 < x.size(); ++i) {
        if (!fits(i)) {
            return;
        }
    }
    for (std::size_t i = 1; i < x.size(); ++i) {
        // The number of the first, without room, would stand on the second; that of the last stands
        // outside.
        const bool on_the_next = i == 1 && i + 1 < x.size() && !fits(i);
        if (x[i] - x[i - 1] > 1e-6 && !on_the_next) {
            view.dimensions.push_back({Measure::along_x, {x[i - 1], y}, {x[i], y}, line});
        }
    }
}

void add_datum(View& view, Point foot, Point away, const std::string& letter) {
    constexpr double half = 0.8;  // of the frame, in text heights
    const double length = std::hypot(away.x, away.y);
    const Point unit{away.x / length, away.y / length};
    const double h = view.text;
    const Point back{foot.x + 0.7 * h * unit.x, foot.y + 0.7 * h * unit.y};
    const Point middle{foot.x + h * away.x, foot.y + h * away.y};
    const Point near{middle.x - half * h * unit.x, middle.y - half * h * unit.y};
    view.polylines.push_back({Layer::dimension,
                              {foot,
                               {back.x - 0.4 * h * unit.y, back.y + 0.4 * h * unit.x},
                               {back.x + 0.4 * h * unit.y, back.y - 0.4 * h * unit.x}},
                              true});
    view.line(Layer::dimension, back, near);
    view.polylines.push_back({Layer::dimension,
                              {{middle.x - half * h, middle.y - half * h},
                               {middle.x + half * h, middle.y - half * h},
                               {middle.x + half * h, middle.y + half * h},
                               {middle.x - half * h, middle.y + half * h}},
                              true});
    view.note({middle.x, middle.y - 0.36 * h}, letter, Align::centre);
}

DimensionPicture picture(const Dimension& dimension, double text_height) {
    switch (dimension.measure) {
        case Measure::along_x:
        case Measure::along_y:
            return linear(dimension, text_height);
        case Measure::ordinate_x:
            return ordinate(dimension, text_height);
        case Measure::radius:
            return radius(dimension, text_height);
    }
    return {};
}

}  // namespace plenair::drawing

#pragma once

#include <array>
#include <cstddef>
#include <string>
#include <vector>

#include "geometry/output_units.hpp"

/// A drawing as plain geometry: views of lines, arcs and dimensions in millimetres at 1:1, y up.
/// What draws it (SVG, DXF) adds nothing to it.
namespace plenair::drawing {

/// What a line stands for; one layer of the drawing each.
enum class Layer { outline, slot, runner, throttle, centre, dimension, note };
inline constexpr std::array<Layer, 7> layers{Layer::outline,
                                             Layer::slot,
                                             Layer::runner,
                                             Layer::throttle,
                                             Layer::centre,
                                             Layer::dimension,
                                             Layer::note};
/// "OUTLINE", "SLOT": the layer's name in files.
[[nodiscard]] std::string layer_name(Layer layer);

struct Point {
    double x = 0, y = 0;  ///< [mm]
};

struct Arc {
    Layer layer = Layer::outline;
    Point centre;
    double radius = 0;  ///< [mm]
    double start = 0, end = 360;  ///< counter-clockwise from the x axis [deg]; 360: a full circle
    [[nodiscard]] bool full() const { return end - start >= 360; }
};

struct Polyline {
    Layer layer = Layer::outline;
    std::vector<Point> points;
    bool closed = false;
    /// From a point on: the tangent of a quarter of the angle of its arc to the next, + to the left
    /// of the chord; 0 or missing: straight.
    std::vector<double> bulges = {};
    [[nodiscard]] double bulge(std::size_t i) const { return i < bulges.size() ? bulges[i] : 0; }
};

enum class Align { left, centre, right };

struct Text {
    Layer layer = Layer::note;
    Point at;  ///< on the base line
    std::string text;  ///< UTF-8, any content
    double size = 1;  ///< in text heights of the view
    Align align = Align::left;
    double angle = 0;  ///< [deg]
};

enum class Measure { along_x, along_y, ordinate_x, radius };

/// A dimension. Its value is that of the geometry, never typed in.
struct Dimension {
    Measure measure = Measure::along_x;
    Point from;  ///< ordinate: the datum; radius: the centre
    Point to;  ///< ordinate: the feature; radius: the point on the arc
    double line = 0;  ///< y of the dimension line (along_y: its x; ordinate: y of its end) [mm]
    std::string after = {};  ///< behind the number: " +/-0.05"
    bool diameter = false;
    double text_x = 0;  ///< ordinate: x of the text; radius: its signed run beside the arc [mm]
    bool aside = false;  ///< the number keeps off the middle, where a centre line runs
    int decimals = 3;  ///< of the number, where it is that of the geometry
    geometry::OutputUnits units = {};  ///< in which the number is shown; the geometry stays in mm
    /// Along y: a line of the part above, which a number that finds no room between the arrows must
    /// not stand on [mm].
    double above = 0;

    [[nodiscard]] double value() const;  ///< [mm]
};

/// Number as on a drawing: none of its decimals needless.
[[nodiscard]] std::string drawn_number(double value, int decimals = 3);
/// A length of the drawing [mm] as its number: at most three decimals of mm, four of inches.
[[nodiscard]] std::string drawn_size(double value, const geometry::OutputUnits& units);

/// One view, in its own millimetres.
struct View {
    std::string title;
    double text = 5;  ///< text height [mm]
    double magnification = 1;  ///< of its picture against that of the others; files stay at 1:1
    int row = 0;  ///< views of one row stand side by side
    bool in_line = false;  ///< x = 0 stands below that of the other views in line
    std::vector<Polyline> polylines = {};
    std::vector<Arc> arcs = {};
    std::vector<Text> texts = {};
    std::vector<Dimension> dimensions = {};

    void line(Layer layer, Point from, Point to) { polylines.push_back({layer, {from, to}}); }
    void note(Point at, std::string words, Align align = Align::left, double size = 1) {
        texts.push_back({Layer::note, at, std::move(words), size, align});
    }
};

/// A framed datum letter (ISO 5459) with its triangle on the part at `foot`, `away` from it in text
/// heights.
void add_datum(View& view, Point foot, Point away, const std::string& letter);

/// Title of a view in a picture that shows it larger than others.
[[nodiscard]] std::string magnified_title(const View& view);

struct Drawing {
    std::string title;
    std::string description;  ///< the main dimensions in words
    geometry::OutputUnits units;  ///< of its numbers and of files in it
    std::vector<View> views;
};

/// A dimension as the lines, arrow heads and text it consists of.
struct DimensionPicture {
    std::vector<Polyline> lines;
    std::vector<std::array<Point, 3>> arrows;  ///< filled triangles
    Text label;  ///< without the sign of a diameter
};
[[nodiscard]] DimensionPicture picture(const Dimension& dimension, double text_height);

/// Dimensions from each place to the next on one line, part at `y`; none where a number would find
/// no room between two inner places. The first one alone may be left out: running dimensions stand
/// beside every chain.
void add_chain(View& view,
               const std::vector<double>& x,
               double y,
               double line,
               const geometry::OutputUnits& units);

/// Width of a text in text heights, for room only: no font is at hand here.
[[nodiscard]] double text_width(const std::string& text);

struct Box {
    double left = 0, bottom = 0, right = 0, top = 0;  ///< [mm]
    [[nodiscard]] double width() const { return right - left; }
    [[nodiscard]] double height() const { return top - bottom; }
};
/// Room that a view takes, dimensions and title included.
[[nodiscard]] Box bounds(const View& view);

/// Where each view's own origin lies when every view is drawn at `scale(view)`; rows from the top
/// down, left to right, the first row's top at y = 0.
struct Placement {
    std::vector<Point> origins;
    double width = 0, height = 0;
};
[[nodiscard]] Placement place(const Drawing& drawing, bool magnified, double gap);

/// Positions of labels of a given width, in the order of `wanted` (ascending), moved apart as
/// little as needed.
[[nodiscard]] std::vector<double> spread_apart(std::vector<double> wanted, double width);

}  // namespace plenair::drawing

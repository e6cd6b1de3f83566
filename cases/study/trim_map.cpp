#include "cases/study/trim_parts.hpp"
#include "geometry/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

namespace plenair::study {

namespace {

constexpr double slack = 1e-9;  // on a side of a triangle still counts as inside
constexpr double flat = 1e-6;  // of the rectangle that holds the points: no triangle

struct Spot {
    double x = 0, y = 0;
};

/// A value at a place of the map as weights of the points' values.
struct Weight {
    std::size_t point = 0;
    double weight = 0;
};
using Weights = std::vector<Weight>;

/// Twice the area of a triangle, + where it turns left.
double turn(Spot a, Spot b, Spot c) {
    return (b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y);
}

/// Whether d lies inside the circle through a, b, c (left turn).
bool in_circle(Spot a, Spot b, Spot c, Spot d) {
    const auto row = [d](Spot p) {
        const double x = p.x - d.x, y = p.y - d.y;
        return std::array{x, y, x * x + y * y};
    };
    const auto p = row(a), q = row(b), r = row(c);
    return p[0] * (q[1] * r[2] - q[2] * r[1]) - p[1] * (q[0] * r[2] - q[2] * r[0]) +
               p[2] * (q[0] * r[1] - q[1] * r[0]) >
           slack;
}

bool empty_circle(const std::vector<Spot>& spots, std::array<std::size_t, 3> t) {
    for (std::size_t d = 0; d < spots.size(); ++d) {
        if (d != t[0] && d != t[1] && d != t[2] &&
            in_circle(spots[t[0]], spots[t[1]], spots[t[2]], spots[d])) {
            return false;
        }
    }
    return true;
}

/// Weights of the corners of one triangle at a place; none outside it.
std::optional<Weights> inside(const std::vector<Spot>& spots,
                              std::array<std::size_t, 3> t,
                              Spot at) {
    const double area = turn(spots[t[0]], spots[t[1]], spots[t[2]]);
    const double first = turn(at, spots[t[1]], spots[t[2]]) / area;
    const double second = turn(spots[t[0]], at, spots[t[2]]) / area;
    const double third = 1.0 - first - second;
    if (std::min({first, second, third}) < -slack) {
        return std::nullopt;
    }
    return Weights{{t[0], first}, {t[1], second}, {t[2], third}};
}

using Triangle = std::array<std::size_t, 3>;  ///< left turn

/// The triangles between points whose circle holds no other point (Delaunay 1934). Few points, so
/// all are tried.
/// theory T55
std::vector<Triangle> triangles_of(const std::vector<Spot>& spots) {
    std::vector<Triangle> kept;
    for (std::size_t a = 0; a < spots.size(); ++a) {
        for (std::size_t b = a + 1; b < spots.size(); ++b) {
            for (std::size_t c = b + 1; c < spots.size(); ++c) {
                const double area = turn(spots[a], spots[b], spots[c]);
                const Triangle t = area < 0.0 ? Triangle{a, c, b} : Triangle{a, b, c};
                if (std::abs(area) > flat && empty_circle(spots, t)) {
                    kept.push_back(t);
                }
            }
        }
    }
    return kept;
}

/// Straight over the first triangle in which the place lies; none outside them all.
std::optional<Weights> in_triangle(const std::vector<Spot>& spots,
                                   const std::vector<Triangle>& triangles,
                                   Spot at) {
    for (const auto& t : triangles) {
        if (const auto weights = inside(spots, t, at)) {
            return weights;
        }
    }
    return std::nullopt;
}

/// Straight between neighbours along x; none outside.
std::optional<Weights> on_line(const std::vector<Spot>& spots, double x) {
    std::optional<std::size_t> below, above;
    for (std::size_t i = 0; i < spots.size(); ++i) {
        if (spots[i].x <= x + slack && (!below || spots[i].x > spots[*below].x)) {
            below = i;
        }
        if (spots[i].x >= x - slack && (!above || spots[i].x < spots[*above].x)) {
            above = i;
        }
    }
    if (!below || !above) {
        return std::nullopt;
    }
    const double length = spots[*above].x - spots[*below].x;
    const double weight = length > 0.0 ? std::clamp((x - spots[*below].x) / length, 0.0, 1.0) : 0.0;
    return Weights{{*below, 1.0 - weight}, {*above, weight}};
}

/// Largest minus smallest value, and the smallest.
struct Axis {
    double low = 0, range = 0;
    [[nodiscard]] double scaled(double value) const { return (value - low) / range; }
};

template <class Value>
Axis axis_of(const std::vector<const TrimPoint*>& points, Value value) {
    const auto [low, high] =
        std::minmax_element(points.begin(), points.end(), [&](const auto* a, const auto* b) {
            return value(*a) < value(*b);
        });
    return {value(**low), value(**high) - value(**low)};
}

double speed_of(const TrimPoint& point) {
    return point.speed;
}
double pressure_of(const TrimPoint& point) {
    return point.plenum_pressure;
}

constexpr auto no_plane =
    "speed and load need three points that do not lie on one line; add a [[point]] or ask for "
    "speeds only";

[[noreturn]] void refuse(const std::string& why) {
    throw InputError({"trim map: cannot interpolate: " + why});
}

void refuse_shared_speed(const std::vector<const TrimPoint*>& points) {
    for (std::size_t i = 0; i < points.size(); ++i) {
        for (std::size_t j = i + 1; j < points.size(); ++j) {
            if (std::abs(points[i]->speed - points[j]->speed) < slack * points[i]->speed) {
                refuse(fmt::format(
                    "points {} and {} are both at {:.0f} rpm; give the loads of the map as well",
                    points[i]->name,
                    points[j]->name,
                    rpm(points[i]->speed)));
            }
        }
    }
}

/// The trim of one place in the map, all cylinders rounded together.
std::vector<double> trims_at(const std::vector<const TrimPoint*>& points,
                             const Weights& weights,
                             double step) {
    std::vector<double> exact(points.front()->cylinders.size(), 0.0);
    for (const auto& [point, weight] : weights) {
        for (std::size_t i = 0; i < exact.size(); ++i) {
            exact[i] += weight * points[point]->cylinders.at(i).exact;
        }
    }
    return trims_of(exact, step).rounded;
}

class Interpolator final {
public:
    Interpolator(std::vector<const TrimPoint*> points, bool with_pressure)
        : points_(std::move(points)), with_pressure_(with_pressure) {
        speed_ = axis_of(points_, speed_of);
        if (points_.size() < 2 || !(speed_.range > 0.0)) {
            refuse("all points are at one speed; add a [[point]] at another speed");
        }
        if (with_pressure_) {
            pressure_ = axis_of(points_, pressure_of);
            if (points_.size() < 3 || !(pressure_.range > 0.0)) {
                refuse(no_plane);
            }
        } else {
            refuse_shared_speed(points_);
        }
        for (const auto* point : points_) {
            spots_.push_back(spot(point->speed, point->plenum_pressure));
        }
        if (with_pressure_) {
            triangles_ = triangles_of(spots_);
            if (triangles_.empty()) {
                refuse(no_plane);
            }
        }
    }

    [[nodiscard]] std::optional<Weights> at(double speed, double pressure) const {
        const Spot place = spot(speed, pressure);
        return with_pressure_ ? in_triangle(spots_, triangles_, place) : on_line(spots_, place.x);
    }

private:
    [[nodiscard]] Spot spot(double speed, double pressure) const {
        return {speed_.scaled(speed), with_pressure_ ? pressure_.scaled(pressure) : 0.0};
    }

    std::vector<const TrimPoint*> points_;
    bool with_pressure_;
    Axis speed_, pressure_;
    std::vector<Spot> spots_;
    std::vector<Triangle> triangles_;
};

}  // namespace

void add_map(TrimResult& result, const TrimOptions& options) {
    if (options.map_speeds.empty()) {
        return;
    }
    std::vector<const TrimPoint*> points;
    for (const auto& point : result.points) {
        if (point.issued) {
            points.push_back(&point);
        }
    }
    if (points.empty()) {
        return;
    }
    const bool with_pressure = !options.map_pressures.empty();
    const Interpolator interpolator(points, with_pressure);
    result.map_speeds = options.map_speeds;
    result.map_pressures = options.map_pressures;
    for (const auto& t : points.front()->cylinders) {
        result.map.push_back({t.cylinder, t.firing_position, {}});
    }
    const std::vector<double> any{0.0};
    for (const double speed : result.map_speeds) {
        for (const double pressure : with_pressure ? result.map_pressures : any) {
            const auto weights = interpolator.at(speed, pressure);
            const auto trims =
                weights ? trims_at(points, *weights, result.step) : std::vector<double>{};
            for (std::size_t i = 0; i < result.map.size(); ++i) {
                result.map[i].trim.push_back(weights ? std::optional(trims[i]) : std::nullopt);
            }
        }
    }
}

}  // namespace plenair::study

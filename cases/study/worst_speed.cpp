#include "cases/study/worst_speed.hpp"

#include "cases/study/bands.hpp"
#include "cases/study/parallel.hpp"
#include "cases/study/solve_points.hpp"
#include "geometry/quantity.hpp"
#include "solver/march/cycle.hpp"

#include <boost/math/tools/minima.hpp>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

namespace plenair::study {

namespace {

constexpr double speed_step = 5;  // [rpm]
constexpr double widest_step = 100;  // [rpm]
// A speed lower than the highest by more than this is not looked at: between two speeds so near one
// another a spread does not rise so much.
constexpr double worth_a_look = 0.005;

/// What is looked at: the steps of the curve and speeds between them, ascending.
using Points = std::vector<PointResult>;

/// The steps, divided where they are far apart.
Points finer(const Case& c,
             const SpeedCurve& curve,
             const SolveResult& result,
             const SolveOptions& options,
             int& solved) {
    const double widest = geometry::from_unit(widest_step, "rpm");
    std::vector<OperatingPoint> between;
    for (std::size_t i = 0; i + 1 < curve.count; ++i) {
        const double from = result.points.at(curve.first + i).speed;
        const double to = result.points.at(curve.first + i + 1).speed;
        const auto parts = static_cast<int>(std::ceil((to - from) / widest - 1e-9));
        for (int k = 1; k < parts; ++k) {
            between.push_back(curve.at(from + (to - from) * k / parts));
        }
    }
    SolveOptions plain;
    plain.threads = options.threads;
    plain.stop = options.stop;
    Points points(result.points.begin() + static_cast<std::ptrdiff_t>(curve.first),
                  result.points.begin() + static_cast<std::ptrdiff_t>(curve.first + curve.count));
    for (auto& point : solve_points(c, between, in_runs(between.size()), plain).points) {
        points.push_back(std::move(point));
    }
    solved += static_cast<int>(between.size());
    std::stable_sort(points.begin(), points.end(), [](const auto& a, const auto& b) {
        return a.speed < b.speed;
    });
    return points;
}

/// Those that no neighbour tops and that are near the highest.
std::vector<std::size_t> peaks(const Points& points, double highest) {
    const auto spread_at = [&](std::size_t i) {
        return i < points.size() && points[i].converged ? points[i].spread : -1;
    };
    std::vector<std::size_t> found;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const double own = spread_at(i);
        if (own >= std::max(0.0, highest - worth_a_look) && own >= spread_at(i + 1) &&
            (i == 0 || own > spread_at(i - 1))) {
            found.push_back(i);
        }
    }
    return found;
}

struct Refined {
    PointResult point;
    std::vector<double> state;  ///< its periodic state; empty: a point of the list
    double doubt = 0;  ///< [rad/s]
    int solved = 0;
};

/// The peak between the neighbours of `at`.
Refined refine(const Case& c, const SpeedCurve& curve, const Points& points, std::size_t at) {
    Refined refined;
    refined.point = points[at];
    const double from = points[at == 0 ? 0 : at - 1].speed;
    const double to = points[std::min(at + 1, points.size() - 1)].speed;
    const double tolerance = geometry::from_unit(speed_step, "rpm");
    std::vector<double> state;
    const auto less_spread = [&](double speed) {
        CycleOptions march;
        std::vector<double> next;
        march.start = state.empty() ? nullptr : &state;
        march.final_state = &next;
        PointResult point = solve_point(c.intake, c.engine, curve.at(speed), c.model, march);
        ++refined.solved;
        if (!point.converged) {
            return 0.0;
        }
        state = std::move(next);
        const double spread = point.spread;
        if (spread > refined.point.spread) {
            refined.point = std::move(point);
            refined.state = state;
        }
        return -spread;
    };
    // Brent's method stops at 2^(1 - bits) of the speed.
    const int bits = 1 + static_cast<int>(std::ceil(std::log2(to / tolerance)));
    std::uintmax_t most = 30;
    (void)boost::math::tools::brent_find_minima(less_spread, from, to, bits, most);
    refined.doubt = tolerance;
    return refined;
}

}  // namespace

void find_worst(const Case& c,
                const SpeedCurve& curve,
                const SolveResult& result,
                const SolveOptions& options,
                CurveResult& found) {
    const Points points = finer(c, curve, result, options, found.solved);
    const auto stopped = [&] { return options.stop != nullptr && options.stop->load(); };
    double highest = 0, of_steps = 0;
    for (const auto& point : points) {
        highest = std::max(highest, point.converged ? point.spread : 0);
    }
    for (std::size_t i = 0; i < curve.count; ++i) {
        const auto& step = result.points.at(curve.first + i);
        of_steps = std::max(of_steps, step.converged ? step.spread : 0);
    }
    const auto steps = peaks(points, highest);
    if (steps.empty() || stopped()) {
        return;
    }
    std::vector<Refined> refined(steps.size());
    for_each_job(steps.size(), options.threads, [&](std::size_t i) {
        refined[i] = refine(c, curve, points, steps[i]);
    });
    const auto worst =
        std::max_element(refined.begin(), refined.end(), [](const auto& a, const auto& b) {
            return a.point.spread < b.point.spread;
        });
    for (const auto& each : refined) {
        found.solved += each.solved;
    }
    found.worst = worst->point;
    found.speed_doubt = worst->doubt;
    found.spread_gain = found.worst->spread - of_steps;
    if (options.bands && found.worst->bias_band <= 0) {
        add_bands(c,
                  curve.at(found.worst->speed),
                  *found.worst,
                  worst->state.empty() ? nullptr : &worst->state);
    }
}

}  // namespace plenair::study

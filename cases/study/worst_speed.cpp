#include "cases/study/worst_speed.hpp"

#include "cases/base/parallel.hpp"
#include "cases/study/bands.hpp"
#include "cases/study/case.hpp"
#include "cases/study/march_together.hpp"
#include "cases/study/no_slot.hpp"
#include "cases/study/solve_points.hpp"
#include "cases/study/sonic_words.hpp"
#include "geometry/quantity.hpp"
#include "solver/march/cycle.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <utility>
#include <vector>

namespace plenair::study {

namespace {

constexpr double speed_step = 5;  // [rpm]
constexpr double widest_step = 100;  // [rpm]
// A speed lower than the highest by more than this is not looked at: between two speeds so near one
// another a spread does not rise so much.
constexpr double worth_a_look = 0.005;
constexpr int in_a_gap = 4;  // speeds that are looked at side by side on each side of a peak

/// What is looked at: the steps of the curve and speeds between them, ascending.
using Points = std::vector<SolvedPoint>;

double spread_of(const SolvedPoint& point) {
    return point.result.converged ? point.result.spread : -1;
}

bool by_speed(const SolvedPoint& a, const SolvedPoint& b) {
    return a.result.speed < b.result.speed;
}

/// The steps, divided where they are far apart.
Points finer(const Case& c,
             const SpeedCurve& curve,
             Points steps,
             const SolveOptions& options,
             int& solved) {
    const double widest = geometry::from_unit(widest_step, "rpm");
    std::vector<OperatingPoint> between;
    for (std::size_t i = 0; i + 1 < steps.size(); ++i) {
        const double from = steps[i].result.speed;
        const double to = steps[i + 1].result.speed;
        const auto parts = static_cast<int>(std::ceil((to - from) / widest - 1e-9));
        for (int k = 1; k < parts; ++k) {
            between.push_back(curve.at(from + (to - from) * k / parts));
        }
    }
    SolveOptions plain;
    plain.threads = options.threads;
    plain.stop = options.stop;
    auto more = solve_points(c, between, in_runs(c, between), plain);
    for (std::size_t i = 0; i < between.size(); ++i) {
        steps.push_back({std::move(more.points[i]), std::move(more.ends[i])});
    }
    solved += static_cast<int>(between.size());
    std::stable_sort(steps.begin(), steps.end(), by_speed);
    return steps;
}

/// Those that no neighbour tops and that are near the highest.
std::vector<std::size_t> peaks(const Points& points, double highest) {
    const auto spread_at = [&](std::size_t i) {
        return i < points.size() ? spread_of(points[i]) : -1;
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

/// A point as it is solved alone, from where it is likely to end.
SolvedPoint solve_from(const Case& c, const OperatingPoint& point, const Start& start) {
    SolvedPoint solved;
    CycleOptions march;
    march.end = &solved.end;
    march.from = start.state.empty() ? nullptr : &start;
    solved.result = solve_point(c.intake, c.engine, point, c.model, march);
    if (!solved.result.converged && march.from != nullptr) {
        march.from = nullptr;
        solved.result = solve_point(c.intake, c.engine, point, c.model, march);
    }
    add_sonic_notes(c.units, solved.result);
    return solved;
}

/// Looks for the top of one peak.
class PeakSearch final {
public:
    PeakSearch(const Case& c, const SpeedCurve& curve, const Points& points, std::size_t at)
        : c_(c), curve_(curve) {
        const auto place = points.begin() + static_cast<std::ptrdiff_t>(at);
        row_.assign(at == 0 ? place : place - 1, std::min(place + 2, points.end()));
    }

    void run() {
        constexpr int most_rounds = 20;
        for (int round = 0; round < most_rounds && uncertainty() > tolerance(); ++round) {
            divide();
        }
    }

    [[nodiscard]] const SolvedPoint& best() const { return row_[top()]; }
    /// How far the next speed is that was looked at.
    [[nodiscard]] double uncertainty() const {
        double widest = 0;
        for (std::size_t i = 0; i + 1 < row_.size(); ++i) {
            widest = std::max(widest, row_[i + 1].result.speed - row_[i].result.speed);
        }
        return widest;
    }
    [[nodiscard]] int solved() const { return solved_; }

private:
    static double tolerance() { return geometry::from_unit(speed_step, "rpm"); }

    [[nodiscard]] std::size_t top() const {
        const auto highest =
            std::max_element(row_.begin(), row_.end(), [](const auto& a, const auto& b) {
                return spread_of(a) < spread_of(b);
            });
        return static_cast<std::size_t>(highest - row_.begin());
    }

    /// Solves speeds between those of the row; what stays are the highest and its neighbours.
    void divide() {
        std::vector<OperatingPoint> points;
        std::vector<Start> starts;
        for (std::size_t i = 0; i + 1 < row_.size(); ++i) {
            const double from = row_[i].result.speed, to = row_[i + 1].result.speed;
            for (int k = 1; k <= in_a_gap; ++k) {
                const double part = static_cast<double>(k) / (in_a_gap + 1);
                points.push_back(curve_.at(from + part * (to - from)));
                starts.push_back(between(row_[i].end, row_[i + 1].end, part));
            }
        }
        auto more = solve(points, starts);
        std::move(more.begin(), more.end(), std::back_inserter(row_));
        solved_ += static_cast<int>(points.size());
        std::stable_sort(row_.begin(), row_.end(), by_speed);
        const auto highest = row_.begin() + static_cast<std::ptrdiff_t>(top());
        row_.erase(std::min(highest + 2, row_.end()), row_.end());
        row_.erase(row_.begin(), highest == row_.begin() ? highest : highest - 1);
    }

    [[nodiscard]] std::vector<SolvedPoint> solve(const std::vector<OperatingPoint>& points,
                                                 const std::vector<Start>& starts) const {
        std::vector<SolvedPoint> solved(points.size());
        // Where lanes are for nobody to wait for, in_runs says so.
        if (points.size() < enough_for_lanes || in_runs(c_, points).front().together) {
            auto lanes = march_together(c_.intake, c_.engine, c_.model, points, starts);
            for (std::size_t i = 0; i < points.size(); ++i) {
                solved[i] = {std::move(lanes.points[i]), std::move(lanes.ends[i])};
            }
        }
        for (std::size_t i = 0; i < points.size(); ++i) {
            if (!solved[i].result.converged) {
                solved[i] = solve_from(c_, points[i], starts[i]);
            }
        }
        return solved;
    }

    const Case& c_;
    const SpeedCurve& curve_;
    Points row_;  ///< the highest and its neighbours
    int solved_ = 0;
};

}  // namespace

void find_worst(const Case& c,
                const SpeedCurve& curve,
                const std::vector<SolvedPoint>& steps,
                const SolveOptions& options,
                CurveResult& found) {
    const Points points = finer(c, curve, steps, options, found.solved);
    double highest = 0, of_steps = 0;
    for (const auto& point : points) {
        highest = std::max(highest, spread_of(point));
    }
    for (const auto& step : steps) {
        of_steps = std::max(of_steps, spread_of(step));
    }
    const auto tops = peaks(points, highest);
    if (tops.empty() || (options.stop != nullptr && options.stop->load())) {
        return;
    }
    std::vector<PeakSearch> searches;
    for (const std::size_t at : tops) {
        searches.emplace_back(c, curve, points, at);
    }
    for_each_job(searches.size(), options.threads, [&](std::size_t i) { searches[i].run(); });
    const auto worst =
        std::max_element(searches.begin(), searches.end(), [](const auto& a, const auto& b) {
            return spread_of(a.best()) < spread_of(b.best());
        });
    for (const auto& each : searches) {
        found.solved += each.solved();
    }
    // A point that lanes found is solved as it would be alone before anybody reads it.
    SolvedPoint best = worst->best();
    const OperatingPoint at = curve.at(best.result.speed);
    if (best.result.pressures.empty()) {
        best = solve_from(c, at, best.end);
    }
    if (!best.result.converged) {
        return;
    }
    found.worst = std::move(best.result);
    found.speed_uncertainty =
        std::min(worst->uncertainty(), geometry::from_unit(speed_step, "rpm"));
    found.spread_gain = found.worst->spread - of_steps;
    if (options.no_slot && has_slot(c.intake)) {
        add_no_slot(solve_point(without_slot(c.intake), c.engine, at, c.model, {}), *found.worst);
    }
    if (options.bands && found.worst->bias_band <= 0) {
        const NearPoint near{&at, &*found.worst, &best.end};
        add_bands(std::move(bands_of(c, {&near, 1}, options.threads).front()), *found.worst);
    }
}

}  // namespace plenair::study

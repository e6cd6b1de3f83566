#include "cases/study/moved_points.hpp"

#include "cases/study/march_together.hpp"
#include "cases/study/parallel.hpp"
#include "solver/ensemble/ensemble.hpp"
#include "solver/march/coarse_start.hpp"
#include "solver/march/cycle.hpp"

#include <algorithm>
#include <utility>

namespace plenair::study {

namespace {

constexpr std::size_t along = 4;  // every so many points of a curve come first
constexpr std::size_t most_in_double = 16;  // points
constexpr std::size_t most_in_batch =
    128;  // fills lanes of one pace, and leaves work for two threads
/// The moved cases of the points of one curve.
class MovedPoints final {
public:
    MovedPoints(const Case& c, std::span<const NearPoint> points, const MakeMoved& make)
        : c_(c), points_(points), make_(make), results_(points.size()), ends_(points.size()) {}

    void solve(int threads) {
        std::vector<std::size_t> first, rest;
        for (std::size_t p = 0; p < points_.size(); ++p) {
            (is_first(p) ? first : rest).push_back(p);
        }
        solve_level(first, threads);
        solve_level(rest, threads);
    }

    std::vector<std::vector<PointResult>> take() { return std::move(results_); }

private:
    [[nodiscard]] bool is_first(std::size_t p) const {
        return points_.size() <= along || p % along == 0 || p + 1 == points_.size();
    }

    void solve_level(const std::vector<std::size_t>& level, int threads) {
        if (level.empty()) {
            return;
        }
        const std::size_t cases = make_(*points_[level.front()].point).size();
        const std::size_t most =
            std::max<std::size_t>(1, most_in_batch / std::max<std::size_t>(1, cases));
        const std::size_t batches = (level.size() + most - 1) / most;
        for_each_job(batches, threads, [&](std::size_t k) {
            const auto at = [&](std::size_t part) {
                return level.begin() + static_cast<std::ptrdiff_t>(part * level.size() / batches);
            };
            solve_batch({at(k), at(k + 1)});
        });
    }

    void solve_batch(const std::vector<std::size_t>& batch) {
        std::vector<std::vector<Shifted>> made;
        std::vector<std::vector<Start>> starts;
        for (const std::size_t p : batch) {
            made.push_back(make_(*points_[p].point));
            starts.push_back(starts_of(p, made.back().size()));
        }
        std::vector<Variant> variants;
        for (std::size_t i = 0; i < batch.size(); ++i) {
            for (std::size_t k = 0; k < made[i].size(); ++k) {
                auto& [parts, at] = made[i][k];
                parts.model.tolerance = std::max(c_.model.tolerance, band_tolerance);
                // Of one place, so that they are taken in turn: those of one point share tables.
                variants.push_back({&parts.intake,
                                    &parts.model,
                                    &parts.engine,
                                    &at,
                                    {0.0},
                                    k < starts[i].size() ? &starts[i][k] : nullptr});
            }
        }
        std::vector<Start> ends;
        auto results = solve_side_by_side(variants, ends);
        std::size_t j = 0;
        for (std::size_t i = 0; i < batch.size(); ++i) {
            for (std::size_t k = 0; k < made[i].size(); ++k, ++j) {
                results_[batch[i]].push_back(std::move(results[j]));
                if (is_first(batch[i])) {
                    ends_[batch[i]].push_back(std::move(ends[j]));
                }
            }
        }
    }

    /// A few points in double precision, which leaves of them the same digits in lanes of any
    /// width; a long curve in single: with the steps of its points, what that adds to a band is a
    /// thousandth of it, and what it loses is tried again in double.
    [[nodiscard]] std::vector<PointResult> solve_side_by_side(const std::vector<Variant>& variants,
                                                              std::vector<Start>& ends) const {
        EnsembleOptions options;
        options.ends = &ends;
        if (points_.size() <= most_in_double) {
            return solve_ensemble(variants, options);
        }
        options.precision = Precision::search;
        auto results = solve_ensemble(variants, options);
        std::vector<std::size_t> lost;
        std::vector<Variant> again;
        for (std::size_t i = 0; i < results.size(); ++i) {
            if (!results[i].converged) {
                lost.push_back(i);
                again.push_back(variants[i]);
            }
        }
        std::vector<Start> found;
        options.precision = Precision::full;
        options.ends = &found;
        auto repeated = again.empty() ? std::vector<PointResult>{} : solve_ensemble(again, options);
        for (std::size_t k = 0; k < lost.size(); ++k) {
            results[lost[k]] = std::move(repeated[k]);
            ends[lost[k]] = std::move(found[k]);
        }
        return results;
    }

    /// Where the cases of a point begin; none where the point itself has no state.
    [[nodiscard]] std::vector<Start> starts_of(std::size_t p, std::size_t cases) const {
        if (points_[p].end == nullptr || points_[p].end->state.empty()) {
            return {};
        }
        Start own = *points_[p].end;
        const std::vector<Start> moved =
            is_first(p) ? std::vector<Start>{} : moved_starts(p, cases);
        own.trapped.clear();  // a moved one traps other masses
        // All take the steps of their point, so that what they differ by is not that of the steps.
        std::vector<Start> starts;
        for (std::size_t k = 0; k < cases; ++k) {
            starts.push_back(k < moved.size() && !moved[k].state.empty() ? moved[k] : own);
            starts.back().plan = own.plan;
        }
        return starts;
    }

    [[nodiscard]] std::vector<Start> moved_starts(std::size_t p, std::size_t cases) const {
        const std::size_t low = p - p % along;
        const std::size_t high = std::min(low + along, points_.size() - 1);
        const auto speed = [&](std::size_t i) { return points_[i].point->speed; };
        const double part = (speed(p) - speed(low)) / (speed(high) - speed(low));
        const Start &a = *points_[low].end, &b = *points_[high].end;
        std::vector<Start> starts;
        for (std::size_t k = 0; k < cases; ++k) {
            if (k >= ends_[low].size() || k >= ends_[high].size()) {
                break;
            }
            starts.push_back(moved_along(*points_[p].end,
                                         between(a, b, part),
                                         between(ends_[low][k], ends_[high][k], part)));
        }
        return starts;
    }

    const Case& c_;
    std::span<const NearPoint> points_;
    const MakeMoved& make_;
    std::vector<std::vector<PointResult>> results_;
    std::vector<std::vector<Start>> ends_;  ///< of the points that came first
};

}  // namespace

std::vector<std::vector<PointResult>> solve_moved(const Case& c,
                                                  std::span<const NearPoint> points,
                                                  const MakeMoved& make,
                                                  int threads) {
    MovedPoints moved(c, points, make);
    moved.solve(threads);
    return moved.take();
}

std::vector<PointResult> solve_coarse(const Case& c,
                                      std::span<const NearPoint> points,
                                      int threads) {
    Model model = coarse_model(c.model);
    model.tolerance = std::max(c.model.tolerance, band_tolerance);
    model.max_cycles = c.model.max_cycles;
    std::vector<PointResult> results(points.size());
    constexpr std::size_t most = 32;
    const std::size_t parts = (points.size() + most - 1) / most;
    for_each_job(parts, threads, [&](std::size_t k) {
        const std::size_t first = k * points.size() / parts;
        const std::size_t last = (k + 1) * points.size() / parts;
        std::vector<OperatingPoint> own;
        for (std::size_t p = first; p < last; ++p) {
            own.push_back(*points[p].point);
        }
        std::vector<PointResult> solved(own.size());
        if (own.size() >= enough_for_lanes) {
            solved = march_together(c.intake, c.engine, model, own).points;
        }
        for (std::size_t i = 0; i < own.size(); ++i) {
            results[first + i] = solved[i].converged
                                     ? std::move(solved[i])
                                     : solve_point(c.intake, c.engine, own[i], model, {});
        }
    });
    return results;
}

}  // namespace plenair::study

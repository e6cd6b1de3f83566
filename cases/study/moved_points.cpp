#include "cases/study/moved_points.hpp"

#include "cases/base/parallel.hpp"
#include "cases/study/case.hpp"
#include "cases/study/march_together.hpp"
#include "solver/ensemble/ensemble.hpp"
#include "solver/march/coarse_start.hpp"
#include "solver/march/cycle.hpp"

#include <algorithm>
#include <functional>
#include <map>
#include <utility>

namespace plenair::study {

namespace {

// A long curve: its ends march in single precision, to shares known to twice what a few points are,
// and on up to a tenth more steps than their points took. All of it moves a band of the shipped
// engines by 0.01 % (bias) and 0.02 % (spread) at most, where it is read to 0.1 %.
constexpr double long_tolerance = 2 * band_tolerance;
constexpr double long_step_excess = 1.1;
// Of another law, which moves more: of points whose steps differ by up to this they march together.
constexpr double apart_step_excess = 1.25;
// Of every so many points one comes first; the others begin between them. Cases of another law fill
// lanes with points alone, so more of them come first.
constexpr std::size_t first_of = 8, first_of_apart = 2;
// Fills lanes, and leaves work for two threads.
constexpr std::size_t most_in_batch = 128;

bool is_long(std::size_t points) {
    return points > most_in_double;
}

/// A few points in double precision, which leaves of them the same digits in lanes of any width; a
/// long curve in single, and what that loses again in double.
std::vector<PointResult> solve_side_by_side(const std::vector<Variant>& variants,
                                            bool long_curve,
                                            std::vector<Start>& ends) {
    EnsembleOptions options;
    options.ends = &ends;
    if (!long_curve) {
        return solve_ensemble(variants, options);
    }
    options.precision = Precision::float32;
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
    options.precision = Precision::float64;
    options.ends = &found;
    auto repeated = again.empty() ? std::vector<PointResult>{} : solve_ensemble(again, options);
    for (std::size_t k = 0; k < lost.size(); ++k) {
        results[lost[k]] = std::move(repeated[k]);
        ends[lost[k]] = std::move(found[k]);
    }
    return results;
}

/// For a moved case of a curve of so many points.
double tolerance_of(const Case& c, std::size_t points) {
    return std::max(c.model.tolerance, is_long(points) ? long_tolerance : band_tolerance);
}

/// Weights of values at `places` in the polynomial through them.
std::vector<double> lagrange(const std::vector<double>& places, double at) {
    std::vector<double> weights;
    for (std::size_t i = 0; i < places.size(); ++i) {
        double weight = 1;
        for (std::size_t j = 0; j < places.size(); ++j) {
            weight *= j == i ? 1.0 : (at - places[j]) / (places[i] - places[j]);
        }
        weights.push_back(weight);
    }
    return weights;
}

/// The moved cases of the points of one curve.
class MovedPoints final {
public:
    MovedPoints(const Case& c, std::span<const NearPoint> points, const MakeMoved& make)
        : c_(c), points_(points), make_(make), results_(points.size()), ends_(points.size()) {}

    /// @param more  other work, to be done beside the first cases
    void solve(int threads, const std::vector<std::function<void()>>& more) {
        if (points_.empty()) {
            return;
        }
        const bool far = is_long(points_.size());
        Cases beside{{}, stride_of(first_of), far ? long_step_excess : 1.0};
        Cases apart{{}, stride_of(first_of_apart), far ? apart_step_excess : 1.0};
        const auto cases = make_(*points_.front().point);
        for (std::size_t k = 0; k < cases.size(); ++k) {
            (cases[k].apart ? apart : beside).places.push_back(k);
        }
        for (std::size_t p = 0; p < points_.size(); ++p) {
            results_[p].resize(cases.size());
            ends_[p].resize(cases.size());
        }
        for (std::size_t level = 0; (beside.first_of >> level) > 0; ++level) {
            std::vector<Batch> batches;
            for (const Cases* of : {&apart, &beside}) {
                add_batches(*of, level, batches);
            }
            // The longest first: they leave the least to wait for.
            std::stable_sort(batches.begin(), batches.end(), [](const Batch& a, const Batch& b) {
                return a.work() > b.work();
            });
            const std::size_t others = level == 0 ? more.size() : 0;
            for_each_job(others + batches.size(), threads, [&](std::size_t k) {
                k < others ? more[k]() : solve_batch(batches[k - others]);
            });
        }
    }

    std::vector<std::vector<PointResult>> take() { return std::move(results_); }

private:
    /// Cases that share lanes at a point.
    struct Cases {
        std::vector<std::size_t> places;  ///< in what `make_` gives
        std::size_t first_of = 1;  ///< one of so many points comes first; a power of two
        double step_excess = 1;  ///< most over least steps of points that march together
    };
    /// Cases at points that march together.
    struct Batch {
        const Cases* cases;
        std::vector<std::size_t> points;
        std::size_t known_of;  ///< of every so many points one is known; 0: none
        int steps;  ///< in a cycle, 0: as each takes

        [[nodiscard]] double work() const {
            return static_cast<double>(cases->places.size() * points.size()) * steps;
        }
    };

    [[nodiscard]] std::size_t stride_of(std::size_t wanted) const {
        while (wanted > 1 && points_.size() <= wanted) {
            wanted /= 2;
        }
        return wanted;
    }

    [[nodiscard]] bool comes_at(std::size_t p, std::size_t stride) const {
        return p % stride == 0 || p + 1 == points_.size();
    }

    [[nodiscard]] int steps_at(std::size_t p) const {
        return points_[p].end == nullptr ? 0 : points_[p].end->plan.total();
    }

    void add_batches(const Cases& cases, std::size_t level, std::vector<Batch>& batches) const {
        const std::size_t stride = cases.first_of >> level;
        if (stride == 0 || cases.places.empty()) {
            return;
        }
        const std::size_t known_of = level == 0 ? 0 : 2 * stride;
        std::map<int, std::vector<std::size_t>> by_steps;
        for (std::size_t p = 0; p < points_.size(); ++p) {
            if (comes_at(p, stride) && (known_of == 0 || !comes_at(p, known_of))) {
                by_steps[steps_at(p)].push_back(p);
            }
        }
        const std::size_t most = std::max<std::size_t>(1, most_in_batch / cases.places.size());
        for (auto next = by_steps.begin(); next != by_steps.end();) {
            std::vector<std::size_t> together;
            const int widest = static_cast<int>(cases.step_excess * next->first);
            int steps = 0;
            for (; next != by_steps.end() && next->first <= widest; ++next) {
                together.insert(together.end(), next->second.begin(), next->second.end());
                steps = next->first;
            }
            const std::size_t parts = (together.size() + most - 1) / most;
            for (std::size_t i = 0; i < parts; ++i) {
                const auto at = [&](std::size_t part) {
                    return together.begin() +
                           static_cast<std::ptrdiff_t>(part * together.size() / parts);
                };
                batches.push_back({&cases, {at(i), at(i + 1)}, known_of, steps});
            }
        }
    }

    void solve_batch(const Batch& batch) {
        const auto& places = batch.cases->places;
        std::vector<std::vector<Shifted>> made;
        std::vector<Start> starts;
        for (const std::size_t p : batch.points) {
            made.push_back(make_(*points_[p].point));
            for (const std::size_t k : places) {
                starts.push_back(start_of(p, k, batch));
            }
        }
        std::vector<Variant> variants;
        for (std::size_t i = 0; i < batch.points.size(); ++i) {
            for (const std::size_t k : places) {
                auto& [parts, at, apart] = made[i][k];
                parts.model.tolerance = tolerance_of(c_, points_.size());
                // Of one place, so that they are taken in turn: those of one point share tables.
                const Start& start = starts[variants.size()];
                variants.push_back({&parts.intake,
                                    &parts.model,
                                    &parts.engine,
                                    &at,
                                    {0.0},
                                    start.state.empty() ? nullptr : &start});
            }
        }
        std::vector<Start> ends;
        auto results = solve_side_by_side(variants, is_long(points_.size()), ends);
        std::size_t j = 0;
        for (const std::size_t p : batch.points) {
            for (const std::size_t k : places) {
                results_[p][k] = std::move(results[j]);
                ends_[p][k] = std::move(ends[j]);
                ++j;
            }
        }
    }

    /// Where a case of a point begins; without state where the point itself has none.
    [[nodiscard]] Start start_of(std::size_t p, std::size_t k, const Batch& batch) const {
        if (points_[p].end == nullptr || points_[p].end->state.empty()) {
            return {};
        }
        const Start& own = *points_[p].end;
        Start start = batch.known_of == 0 ? Start{} : moved_start(p, k, batch.known_of);
        if (start.state.empty()) {
            start = own;
            start.trapped.clear();  // a moved one traps other masses
        }
        // The steps of its point, so that what they differ by is not that of the steps.
        start.plan = own.plan;
        start.plan.refine(batch.steps);
        return start;
    }

    /// Its own state moved as those of the known points around it were: a cubic over speed.
    [[nodiscard]] Start moved_start(std::size_t p, std::size_t k, std::size_t known_of) const {
        const std::size_t low = p - p % known_of;
        std::vector<const Start*> from, to;
        std::vector<double> speeds;
        const auto add = [&](std::size_t q) {
            if (points_[q].end != nullptr && !ends_[q][k].state.empty()) {
                from.push_back(points_[q].end);
                to.push_back(&ends_[q][k]);
                speeds.push_back(points_[q].point->speed);
            }
        };
        const std::size_t last = points_.size() - 1;
        if (low >= known_of) {
            add(low - known_of);
        }
        add(low);
        add(std::min(low + known_of, last));
        if (low + known_of < last) {
            add(std::min(low + 2 * known_of, last));
        }
        if (from.size() < 2) {
            return {};
        }
        const auto weights = lagrange(speeds, points_[p].point->speed);
        Start start = moved_along(*points_[p].end, blended(from, weights), blended(to, weights));
        for (const Start* end : to) {
            start.contraction = std::max(start.contraction, end->contraction);
        }
        return start;
    }

    const Case& c_;
    std::span<const NearPoint> points_;
    const MakeMoved& make_;
    std::vector<std::vector<PointResult>> results_;
    std::vector<std::vector<Start>> ends_;
};

/// Points on coarse cells: results in their order.
class CoarsePoints final {
public:
    CoarsePoints(const Case& c, std::span<const NearPoint> points)
        : c_(c), points_(points), model_(coarse_model(c.model)), results_(points.size()) {
        model_.tolerance = tolerance_of(c, points.size());
        model_.max_cycles = c.model.max_cycles;
    }

    /// What is to be done, in parts that need not wait for one another.
    [[nodiscard]] std::vector<std::function<void()>> jobs() {
        const std::size_t parts = (points_.size() + most - 1) / most;
        std::vector<std::function<void()>> all;
        for (std::size_t k = 0; k < parts; ++k) {
            const std::size_t first = k * points_.size() / parts;
            const std::size_t last = (k + 1) * points_.size() / parts;
            all.emplace_back([this, first, last] { solve(first, last); });
        }
        return all;
    }

    std::vector<PointResult> take() { return std::move(results_); }

private:
    static constexpr std::size_t most = 32;  // side by side

    void solve(std::size_t first, std::size_t last) {
        std::vector<Variant> variants;
        for (std::size_t p = first; p < last; ++p) {
            variants.push_back({&c_.intake,
                                &model_,
                                &c_.engine,
                                points_[p].point,
                                {static_cast<double>(p - first) / static_cast<double>(most)}});
        }
        std::vector<Start> ends;
        std::vector<PointResult> solved(variants.size());
        if (variants.size() >= enough_for_lanes) {
            solved = solve_side_by_side(variants, is_long(points_.size()), ends);
        }
        for (std::size_t i = 0; i < solved.size(); ++i) {
            results_[first + i] =
                solved[i].converged
                    ? std::move(solved[i])
                    : solve_point(c_.intake, c_.engine, *points_[first + i].point, model_, {});
        }
    }

    const Case& c_;
    std::span<const NearPoint> points_;
    Model model_;
    std::vector<PointResult> results_;
};

}  // namespace

std::vector<std::vector<PointResult>> solve_moved(const Case& c,
                                                  std::span<const NearPoint> points,
                                                  const MakeMoved& make,
                                                  int threads) {
    MovedPoints moved(c, points, make);
    moved.solve(threads, {});
    return moved.take();
}

BandPoints solve_band_points(const Case& c,
                             std::span<const NearPoint> points,
                             const MakeMoved& make,
                             int threads) {
    MovedPoints moved(c, points, make);
    CoarsePoints coarse(c, points);
    moved.solve(threads, coarse.jobs());
    return {moved.take(), coarse.take()};
}

}  // namespace plenair::study

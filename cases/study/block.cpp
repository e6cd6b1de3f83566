#include "cases/study/block.hpp"

#include "cases/base/parallel.hpp"
#include "cases/study/case.hpp"
#include "solver/ensemble/ensemble.hpp"
#include "solver/march/cycle.hpp"

#include <algorithm>
#include <array>
#include <exception>
#include <new>
#include <numbers>

namespace plenair {

namespace {

/// Where an operating point stands among others, number by number.
std::array<double, 9> coordinates(const OperatingPoint& p) {
    return {p.speed,
            p.pressure,
            p.temperature,
            p.humidity_ratio,
            p.throttle_angle.value_or(0.5 * std::numbers::pi),
            p.exhaust_pressure,
            p.exhaust_temperature,
            p.combustion.lambda,
            p.combustion.start};
}

/// Points of one variant as places, each coordinate that differs among them scaled to order one.
std::vector<std::vector<double>> places_of(std::span<const OperatingPoint> points) {
    std::vector<std::vector<double>> places(points.size());
    for (std::size_t k = 0; k < coordinates(points.front()).size(); ++k) {
        std::vector<double> values;
        for (const OperatingPoint& p : points) {
            values.push_back(coordinates(p)[k]);
        }
        const auto [low, high] = std::minmax_element(values.begin(), values.end());
        const double least = *low;
        const double range = *high - least;
        for (std::size_t i = 0; i < values.size() && range > 0.0; ++i) {
            places[i].push_back((values[i] - least) / range);
        }
    }
    return places;
}

class Block final {
public:
    Block(std::span<const Case> variants, const BlockOptions& options)
        : variants_(variants), options_(options), outcomes_(variants.size()) {
        for (std::size_t v = 0; v < variants.size(); ++v) {
            outcomes_[v].points.resize(variants[v].points.size());
            failures_.emplace_back(variants[v].points.size());
            models_.push_back(variants[v].model);
            models_.back().tolerance = std::max(models_.back().tolerance, options.tolerance);
        }
    }

    /// Points that march together: few variants at many points fill as many lanes as many variants
    /// at one.
    [[nodiscard]] std::size_t points_at_once() const {
        return std::max<std::size_t>(1, options_.march_together / variants_.size());
    }

    /// Points [first, first + count) of every variant.
    void solve(std::size_t first, std::size_t count) {
        if (variants_.size() * count <= few) {
            for (std::size_t p = first; p < first + count; ++p) {
                solve_one_by_one(p);
            }
        } else {
            solve_side_by_side(first, count);
        }
        if (options_.progress) {
            options_.progress(variants_.size() * count);
        }
    }

    std::vector<VariantOutcome> take() {
        for (std::size_t v = 0; v < outcomes_.size(); ++v) {
            const auto first = std::find_if(failures_[v].begin(),
                                            failures_[v].end(),
                                            [](const std::string& f) { return !f.empty(); });
            if (first != failures_[v].end()) {
                outcomes_[v].failure = *first;
                outcomes_[v].points.clear();
            }
        }
        return std::move(outcomes_);
    }

private:
    /// So many variants are done sooner by themselves than in lanes that stay empty.
    static constexpr std::size_t few = 2;

    /// Where the last variant that was solved by itself came to.
    struct Before {
        std::vector<double> state;
        int age = 0;  ///< cycles that it, or what it began from, took
    };

    /// Each from where the one before came to.
    void solve_one_by_one(std::size_t point) {
        Before before;
        for (std::size_t v = 0; v < variants_.size(); ++v) {
            solve_alone(v, point, before);
        }
    }

    /// Whatever befalls one variant must never cost a night's work on the others.
    void solve_alone(std::size_t v, std::size_t point, Before& before) {
        std::vector<double> state;
        CycleOptions march;
        march.final_state = &state;
        march.start = options_.warm && !before.state.empty() ? &before.state : nullptr;
        march.start_age = before.age;
        try {
            PointResult result = alone(v, point, march);
            if (!result.converged && march.start != nullptr) {
                march.start = nullptr;
                result = alone(v, point, march);
            }
            if (result.converged) {
                before.age =
                    march.start == nullptr ? result.cycles : std::max(before.age, result.cycles);
                before.state = std::move(state);
            }
            outcomes_[v].points[point] = std::move(result);
        } catch (const std::bad_alloc&) {
            throw;  // no fault of the variant: it must not be stored as one
        } catch (const std::exception& error) {
            failures_[v][point] = error.what();
        }
    }

    /// A point of one variant as `solve` does it, without what a sweep does not store.
    PointResult alone(std::size_t v, std::size_t point, CycleOptions march) const {
        const Case& c = variants_[v];
        march.min_cycles = 1;
        PointResult result = solve_point(c.intake, c.engine, c.points[point], models_[v], march);
        result.pressures.clear();
        result.slots.clear();
        if (options_.single) {
            result.notes.emplace_back(solved_in_double);
        }
        return result;
    }

    /// A march that left physical states in lanes may keep to them alone: `solve` has ways to begin
    /// anew that lanes have not.
    PointResult second_try(std::size_t v, std::size_t point, PointResult first) const {
        if (first.converged || first.cycles >= models_[v].max_cycles) {
            return first;
        }
        try {
            return alone(v, point, {});
        } catch (const std::bad_alloc&) {
            throw;
        } catch (const std::exception&) {
            return first;  // not to be built: it says so already
        }
    }

    /// Place in the design of a variant at one of the points that march together.
    [[nodiscard]] std::vector<double> place_of(std::size_t v,
                                               const std::vector<double>& point) const {
        std::vector<double> place =
            v < options_.places.size() ? options_.places[v]
                                       : std::vector<double>{static_cast<double>(v) /
                                                             static_cast<double>(variants_.size())};
        place.insert(place.end(), point.begin(), point.end());
        return place;
    }

    void solve_side_by_side(std::size_t first, std::size_t count) {
        const auto points = places_of(std::span(variants_.front().points).subspan(first, count));
        std::vector<Variant> side_by_side;
        for (std::size_t p = first; p < first + count; ++p) {
            for (std::size_t v = 0; v < variants_.size(); ++v) {
                const Case& c = variants_[v];
                const bool known = v < options_.starts.size() && p < options_.starts[v].size();
                side_by_side.push_back({&c.intake,
                                        &models_[v],
                                        &c.engine,
                                        &c.points[p],
                                        place_of(v, points[p - first]),
                                        known ? &options_.starts[v][p] : nullptr});
            }
        }
        EnsembleOptions ensemble;
        ensemble.precision = options_.single ? Precision::float32 : Precision::float64;
        ensemble.warm = options_.warm;
        std::vector<Start> ends;
        ensemble.ends = options_.ends != nullptr ? &ends : nullptr;
        try {
            auto results = solve_ensemble(side_by_side, ensemble);
            for (std::size_t k = 0; k < results.size(); ++k) {
                const std::size_t v = k % variants_.size();
                const std::size_t p = first + k / variants_.size();
                if (options_.ends != nullptr) {
                    (*options_.ends)[v][p] = std::move(ends[k]);
                }
                outcomes_[v].points[p] = second_try(v, p, std::move(results[k]));
            }
        } catch (const std::bad_alloc&) {
            throw;  // alone, they would get other bits than with room enough
        } catch (const std::exception&) {
            for (std::size_t p = first; p < first + count; ++p) {
                solve_one_by_one(p);
            }
        }
    }

    std::span<const Case> variants_;
    const BlockOptions& options_;
    std::vector<VariantOutcome> outcomes_;
    std::vector<Model> models_;
    std::vector<std::vector<std::string>> failures_;  ///< variant x point
};

}  // namespace

std::optional<std::vector<VariantOutcome>> solve_block(std::span<const Case> variants,
                                                       const BlockOptions& options) {
    Block block(variants, options);
    if (options.ends != nullptr) {
        options.ends->clear();
        for (const Case& c : variants) {
            options.ends->emplace_back(c.points.size());
        }
    }
    const std::size_t points = variants.empty() ? 0 : variants.front().points.size();
    const std::size_t at_once = variants.empty() ? 1 : block.points_at_once();
    std::atomic<bool> stopped{false};
    for_each_job((points + at_once - 1) / at_once, options.threads, [&](std::size_t job) {
        if (stopped || (options.stop != nullptr && options.stop->load())) {
            stopped = true;
            return;
        }
        const std::size_t first = job * at_once;
        block.solve(first, std::min(at_once, points - first));
    });
    if (stopped) {
        return std::nullopt;
    }
    return block.take();
}

}  // namespace plenair

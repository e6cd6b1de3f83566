#include "cases/study/block.hpp"

#include "solver/ensemble/ensemble.hpp"
#include "solver/march/cycle.hpp"

#include <algorithm>
#include <exception>
#include <new>

namespace plenair {

namespace {

/// Variants that share engine and operating point: they can march side by side.
struct Party {
    const Case* first = nullptr;
    std::vector<std::size_t> members;
};

std::vector<Party> parties(std::span<const Case> variants, std::size_t point) {
    std::vector<Party> all;
    for (std::size_t v = 0; v < variants.size(); ++v) {
        const Case& c = variants[v];
        const auto same = std::find_if(all.begin(), all.end(), [&](const Party& p) {
            return p.first->engine == c.engine && p.first->points[point] == c.points[point];
        });
        if (same == all.end()) {
            all.push_back({&c, {v}});
        } else {
            same->members.push_back(v);
        }
    }
    return all;
}

class Block final {
public:
    Block(std::span<const Case> variants, const BlockOptions& options)
        : variants_(variants), options_(options), outcomes_(variants.size()) {
        for (std::size_t v = 0; v < variants.size(); ++v) {
            outcomes_[v].points.resize(variants[v].points.size());
            models_.push_back(variants[v].model);
            models_.back().tolerance = std::max(models_.back().tolerance, options.tolerance);
        }
    }

    void solve(std::size_t point, const Party& party) {
        if (party.members.size() <= few) {
            solve_one_by_one(point, party);
        } else {
            solve_side_by_side(point, party);
        }
        if (options_.progress) {
            options_.progress(party.members.size());
        }
    }

    std::vector<VariantOutcome> take() {
        for (VariantOutcome& o : outcomes_) {
            if (!o.failure.empty()) {
                o.points.clear();
            }
        }
        return std::move(outcomes_);
    }

private:
    /// So many variants are done sooner by themselves than in lanes that stay empty.
    static constexpr std::size_t few = 2;

    /// Variants with engines of their own: each from where the one before came to.
    void solve_one_by_one(std::size_t point, const Party& party) {
        if (point != point_) {
            point_ = point;
            last_state_.clear();
        }
        for (const std::size_t v : party.members) {
            solve_alone(v, point);
        }
    }

    /// Whatever befalls one variant must never cost a night's work on the others.
    void solve_alone(std::size_t v, std::size_t point) {
        std::vector<double> state;
        CycleOptions march;
        march.final_state = &state;
        march.start = options_.warm && !last_state_.empty() ? &last_state_ : nullptr;
        march.start_age = last_age_;
        try {
            PointResult result = alone(v, point, march);
            if (!result.converged && march.start != nullptr) {
                march.start = nullptr;
                result = alone(v, point, march);
            }
            if (result.converged) {
                last_age_ =
                    march.start == nullptr ? result.cycles : std::max(last_age_, result.cycles);
                last_state_ = std::move(state);
            }
            outcomes_[v].points[point] = std::move(result);
        } catch (const std::bad_alloc&) {
            throw;  // no fault of the variant: it must not be stored as one
        } catch (const std::exception& error) {
            outcomes_[v].failure = error.what();
        }
    }

    /// A point of one variant as `solve` does it, without what a sweep does not store.
    PointResult alone(std::size_t v, std::size_t point, CycleOptions march) const {
        const Case& c = variants_[v];
        march.min_cycles = 1;
        PointResult result = solve_point(c.intake, c.engine, c.points[point], models_[v], march);
        result.pressures.clear();
        result.slots.clear();
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

    void solve_side_by_side(std::size_t point, const Party& party) {
        std::vector<Variant> side_by_side;
        for (const std::size_t v : party.members) {
            side_by_side.push_back({&variants_[v].intake, &models_[v]});
            if (v < options_.places.size()) {
                side_by_side.back().place = options_.places[v];
            }
        }
        EnsembleOptions ensemble;
        ensemble.precision = options_.single ? Precision::search : Precision::full;
        ensemble.warm = options_.warm;
        try {
            auto results = solve_ensemble(
                side_by_side, party.first->engine, party.first->points[point], ensemble);
            for (std::size_t k = 0; k < results.size(); ++k) {
                const std::size_t v = party.members[k];
                outcomes_[v].points[point] = second_try(v, point, std::move(results[k]));
            }
        } catch (const std::bad_alloc&) {
            throw;  // alone, they would get other bits than with room enough
        } catch (const std::exception&) {
            solve_one_by_one(point, party);
        }
    }

    std::span<const Case> variants_;
    const BlockOptions& options_;
    std::vector<VariantOutcome> outcomes_;
    std::vector<Model> models_;
    std::size_t point_ = 0;
    std::vector<double> last_state_;  ///< of the last variant solved by itself at `point_`
    int last_age_ = 0;  ///< cycles that it, or what it began from, took
};

}  // namespace

std::optional<std::vector<VariantOutcome>> solve_block(std::span<const Case> variants,
                                                       const BlockOptions& options) {
    Block block(variants, options);
    const std::size_t points = variants.empty() ? 0 : variants.front().points.size();
    for (std::size_t p = 0; p < points; ++p) {
        for (const Party& party : parties(variants, p)) {
            if (options.stop != nullptr && options.stop->load()) {
                return std::nullopt;
            }
            block.solve(p, party);
        }
    }
    return block.take();
}

}  // namespace plenair

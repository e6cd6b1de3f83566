#include "cases/study/block.hpp"

#include "solver/ensemble/ensemble.hpp"

#include <algorithm>
#include <exception>

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

/// Whatever befalls one variant must never cost a night's work on the others.
void solve_alone(const Case& c, std::size_t point, const Model& model, VariantOutcome& outcome) {
    try {
        const Variant variant{&c.intake, &model};
        outcome.points[point] =
            solve_ensemble({&variant, 1}, c.engine, c.points[point], {}).front();
    } catch (const std::exception& error) {
        outcome.failure = error.what();
    }
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
                outcomes_[party.members[k]].points[point] = std::move(results[k]);
            }
        } catch (const std::exception&) {
            for (const std::size_t v : party.members) {
                solve_alone(variants_[v], point, models_[v], outcomes_[v]);
            }
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
    std::span<const Case> variants_;
    const BlockOptions& options_;
    std::vector<VariantOutcome> outcomes_;
    std::vector<Model> models_;
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

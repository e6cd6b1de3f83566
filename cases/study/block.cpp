#include "cases/study/block.hpp"

#include "solver/march/cycle.hpp"

#include <exception>

namespace plenair {

namespace {

bool told_to_stop(const BlockOptions& options) {
    return options.stop != nullptr && options.stop->load();
}

/// @returns false where it was told to stop
bool solve_points(const Case& c, const BlockOptions& options, VariantOutcome& outcome) {
    for (const auto& point : c.points) {
        if (told_to_stop(options)) {
            return false;
        }
        outcome.points.push_back(solve_point(c.intake, c.engine, point, c.model, {}));
        if (options.progress) {
            options.progress(1);
        }
    }
    return true;
}

}  // namespace

std::optional<std::vector<VariantOutcome>> solve_block(std::span<const Case> variants,
                                                       const BlockOptions& options) {
    std::vector<VariantOutcome> outcomes(variants.size());
    for (std::size_t v = 0; v < variants.size(); ++v) {
        try {
            if (!solve_points(variants[v], options, outcomes[v])) {
                return std::nullopt;
            }
        } catch (const std::exception& error) {
            // One variant must never cost a night's work on the others.
            outcomes[v].points.clear();
            outcomes[v].failure = error.what();
        }
    }
    return outcomes;
}

}  // namespace plenair

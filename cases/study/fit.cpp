#include "cases/study/fit.hpp"

#include "cases/study/fit_search.hpp"

#include <deque>

namespace plenair {

namespace {

/// Goes on with all fits until none waits for an answer any more; the answers of one round are
/// solved together.
void run_all(std::deque<study::FitSearch>& fits, study::FitModel& model) {
    for (auto& one : fits) {
        one.begin(model);
    }
    std::vector<study::FitSearch*> waiting;
    for (auto& one : fits) {
        waiting.push_back(&one);
    }
    while (true) {
        std::erase_if(waiting, [&](study::FitSearch* one) { return !one->advance(model); });
        if (waiting.empty()) {
            return;
        }
        Eigen::MatrixXd wanted(waiting.front()->wanted().size(),
                               static_cast<Eigen::Index>(waiting.size()));
        std::vector<const study::Expansion*> near;
        for (std::size_t k = 0; k < waiting.size(); ++k) {
            wanted.col(static_cast<Eigen::Index>(k)) = waiting[k]->wanted();
            near.push_back(&waiting[k]->near());
        }
        const auto answers = model.solve(wanted, near);
        for (std::size_t k = 0; k < waiting.size(); ++k) {
            waiting[k]->take(model, answers[k]);
        }
    }
}

}  // namespace

FitResult fit(const Case& c, const Measured& measured, const FitOptions& options) {
    std::deque<study::FitSearch> fits;
    const auto& one = fits.emplace_back(c, measured, options);
    study::FitModel model(one.made(), measured, options.threads);
    run_all(fits, model);
    return one.result(model);
}

std::vector<FitResult> fit_all(const Case& c,
                               const std::vector<Measured>& measured,
                               const FitOptions& options,
                               study::FitModel& model) {
    std::deque<study::FitSearch> fits;
    for (const auto& m : measured) {
        fits.emplace_back(c, m, options);
    }
    run_all(fits, model);
    std::vector<FitResult> results;
    for (const auto& one : fits) {
        results.push_back(one.result(model));
    }
    return results;
}

}  // namespace plenair

#include "cases/study/fit.hpp"

#include "cases/study/fit_faults.hpp"
#include "cases/study/fit_next.hpp"
#include "cases/study/fit_report.hpp"
#include "geometry/error.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <utility>

namespace plenair {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;
using study::AsMade;
using study::Quirk;

constexpr double infinity = std::numeric_limits<double>::infinity();
/// A fault is named where it is at least this probable, all others and none together being less.
constexpr double named_from = 0.5;
constexpr int most_faults = 3;

/// Only the entries that were asked for; the others stay as in the case.
void choose_entries(AsMade& made, const std::vector<std::string>& wanted) {
    if (wanted.empty()) {
        return;
    }
    std::vector<Entry> entries;
    std::vector<bool> gauged;
    std::vector<std::string> known;
    for (const auto& entry : made.entries) {
        known.push_back(entry.key);
    }
    for (const auto& key : wanted) {
        const auto found = std::find(known.begin(), known.end(), key);
        if (found == known.end()) {
            throw InputError({fmt::format("--entry {}: cannot be fitted for this case; it has {}",
                                          key,
                                          fmt::join(known, ", "))});
        }
        const auto i = static_cast<std::size_t>(found - known.begin());
        entries.push_back(made.entries[i]);
        gauged.push_back(made.gauged[i]);
    }
    made.entries = std::move(entries);
    made.gauged = std::move(gauged);
}

/// Fewer readings than entries without a prior: nothing is determined.
void check_enough(const AsMade& made, const Measured& measured, const FitOptions& options) {
    if (options.entries.empty()) {
        return;
    }
    std::vector<std::string> open;
    for (std::size_t i = 0; i < made.entries.size(); ++i) {
        if (!made.gauged[i]) {
            open.push_back(made.entries[i].key);
        }
    }
    std::size_t readings = measured.bench.size();
    for (const auto& e : measured.engine) {
        readings += e.lambda_count() + (e.air_flow ? 1 : 0) + (e.plenum_pressure ? 1 : 0);
    }
    if (readings < open.size()) {
        std::vector<std::string> needs;
        for (const auto& key : open) {
            if (key.starts_with("slot.") && key != "slot.coefficient") {
                needs.push_back("a gauge of " + key);
            }
        }
        needs.emplace_back("another bench reading");
        throw InputError({fmt::format("not determined: {} {} for {} ({}); needs one of: {}",
                                      readings,
                                      readings == 1 ? "reading" : "readings",
                                      open.size() == 1 ? "one entry" : "these entries",
                                      fmt::join(open, ", "),
                                      fmt::join(needs, ", "))});
    }
}

/// The fit as a whole: model, readings, problem, and what came out.
class Fit final {
public:
    Fit(const Case& c, const Measured& measured, const FitOptions& options)
        : measured_(measured), options_(options), made_(study::as_made(c, measured)) {
        choose_entries(made_, options.entries);
        check_enough(made_, measured, options);
    }

    /// @param model  none: one of its own
    FitResult run(const Case& c, study::FitModel* model);

private:
    void set_up(study::FitModel& model);
    LeastSquares problem(study::FitModel& model);
    void free_faults(study::FitModel& model);

    const Measured& measured_;
    const FitOptions& options_;
    AsMade made_;
    std::vector<std::size_t> points_;
    std::optional<study::ReadingModel> readings_;
    VectorXd deviation_, start_;
    LeastSquaresResult fitted_;
    study::FaultOdds first_odds_;
    std::vector<study::FaultCandidate> named_;
};

void Fit::set_up(study::FitModel& model) {
    std::vector<study::PointEffects> effects;
    for (const auto& e : measured_.engine) {
        points_.push_back(e.point);
        effects.push_back(model.effects(e.point));
    }
    readings_.emplace(made_, measured_, effects);
    deviation_ = readings_->deviation();
    start_ = readings_->prior();
    for (std::size_t i = 0; i < made_.entries.size(); ++i) {
        if (!options_.entries.empty() && !made_.gauged[i]) {
            deviation_[static_cast<Index>(i)] = infinity;
        }
    }
}

LeastSquares Fit::problem(study::FitModel& model) {
    LeastSquares p;
    const Index n = start_.size();
    p.start = start_;
    p.prior = readings_->prior();
    p.prior_deviation = deviation_;
    p.lower = VectorXd::Constant(n, -infinity);
    p.upper = VectorXd::Constant(n, infinity);
    p.step = readings_->step();
    for (std::size_t i = 0; i < made_.entries.size(); ++i) {
        const auto k = static_cast<Index>(i);
        p.lower[k] = made_.entries[i].least;
        p.upper[k] = made_.entries[i].most;
        p.step[k] = 0.5 * made_.entries[i].deviation();
    }
    p.tolerance = 1e-6;  // of readings worth three digits
    p.near = 0.2;  // a tenth of a deviation: far below what changes a derivative
    p.max_evaluations = 30;
    p.residuals = [this, &model](const MatrixXd& x) {
        const auto entries = static_cast<Index>(made_.entries.size());
        const auto answers = model.evaluate(x.topRows(entries), points_);
        MatrixXd r(static_cast<Index>(readings_->readings().size()), x.cols());
        for (Index k = 0; k < x.cols(); ++k) {
            r.col(k) = readings_->residuals(x.col(k), answers[static_cast<std::size_t>(k)]);
        }
        return r;
    };
    return p;
}

/// Names the most probable fault, gives its unknown the room of a fault and fits again, so that
/// nothing else is bent to explain it.
void Fit::free_faults(study::FitModel& model) {
    if (measured_.engine.empty() || !fitted_.converged) {
        return;
    }
    for (int round = 0; round < most_faults; ++round) {
        VectorXd finite = deviation_;
        for (std::size_t i = 0; i < made_.entries.size(); ++i) {
            const auto k = static_cast<Index>(i);
            if (!std::isfinite(finite[k])) {
                finite[k] = made_.entries[i].most - made_.entries[i].least;
            }
        }
        const auto odds = study::fault_odds(*readings_, fitted_, finite);
        if (round == 0) {
            first_odds_ = odds;
        }
        if (odds.list.empty() || odds.list.front().probability < named_from) {
            return;
        }
        named_.push_back(odds.list.front());
        if (named_.back().unknown < 0) {
            return;  // A wrong reading is already weighed down.
        }
        const double sizes[] = {
            study::fault_injector, study::fault_sensor, study::fault_runner, study::fault_leak};
        deviation_[named_.back().unknown] = sizes[static_cast<std::size_t>(named_.back().kind)];
        start_ = fitted_.x;
        fitted_ = solve_least_squares(problem(model));
        if (!fitted_.converged) {
            return;
        }
    }
}

FitResult Fit::run(const Case& c, study::FitModel* kept) {
    std::optional<study::FitModel> own;
    study::FitModel& model =
        kept != nullptr ? *kept : own.emplace(made_, measured_, options_.threads);
    set_up(model);
    fitted_ = solve_least_squares(problem(model));
    const VectorXd before = fitted_.start_residuals;
    free_faults(model);
    study::FitReport report({c,
                             measured_,
                             made_,
                             *readings_,
                             model,
                             points_,
                             fitted_,
                             deviation_,
                             before,
                             first_odds_,
                             named_});
    return report.make();
}

}  // namespace

FitResult fit(const Case& c, const Measured& measured, const FitOptions& options) {
    return Fit(c, measured, options).run(c, nullptr);
}

FitResult fit(const Case& c,
              const Measured& measured,
              const FitOptions& options,
              study::FitModel& model) {
    return Fit(c, measured, options).run(c, &model);
}

}  // namespace plenair

#include "cases/study/fit_search.hpp"

#include "cases/study/bench_compare.hpp"
#include "cases/study/fit_report.hpp"
#include "geometry/error.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace plenair::study {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double infinity = std::numeric_limits<double>::infinity();
/// A fault is named where it is at least this probable, all others and none together being less.
constexpr double named_from = 0.5;
constexpr std::size_t most_faults = 3;
/// A flow or a pressure beyond so many times its prediction, or below that part of it, is a slip of
/// the pen or of the unit: no size within its bounds would explain it.
constexpr double largest_ratio = 3;
/// A fit rests on an answer solved within so many posterior deviations: there the expansion that
/// passes through it errs by a few hundredths of one.
constexpr double at_rest = 0.1;
/// An expansion that missed a reading by so many of its deviations is made anew.
constexpr double missed = 1;
constexpr int most_rounds = 12;

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
    std::size_t readings = 0;
    for (const auto& b : measured.bench) {
        readings += b.count();
    }
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

/// Where nothing was known before: as far as the bounds.
VectorXd finite(const VectorXd& deviation, const AsMade& made) {
    VectorXd d = deviation;
    for (std::size_t i = 0; i < made.entries.size(); ++i) {
        const auto k = static_cast<Index>(i);
        if (!std::isfinite(d[k])) {
            d[k] = made.entries[i].most - made.entries[i].least;
        }
    }
    return d;
}

}  // namespace

FitSearch::FitSearch(const Case& drawn, const Measured& measured, const FitOptions& options)
    : drawn_(drawn), measured_(measured), options_(options), made_(as_made(drawn, measured)) {
    choose_entries(made_, options.entries);
    check_enough(made_, measured, options);
}

VectorXd FitSearch::entries_of(const VectorXd& x) const {
    return x.head(static_cast<Index>(made_.entries.size()));
}

void FitSearch::begin(FitModel& model) {
    for (const auto& e : measured_.engine) {
        points_.push_back(e.point);
    }
    // Of a bench alone nothing about the engine is asked.
    std::vector<PointEffects> effects;
    for (std::size_t p = 0; !points_.empty() && p < drawn_.points.size(); ++p) {
        effects.push_back(model.effects(p));
    }
    readings_.emplace(made_, measured_, effects);
    deviation_ = readings_->deviation();
    widened_ = VectorXd::Ones(static_cast<Index>(readings_->readings().size()));
    start_ = readings_->prior();
    for (std::size_t i = 0; i < made_.entries.size(); ++i) {
        if (!options_.entries.empty() && !made_.gauged[i]) {
            deviation_[static_cast<Index>(i)] = infinity;
        }
    }
    const VectorXd values = model.values_as_made();
    near_ = &model.expansion(values);
    const Solved& made = model.nearest(values, VectorXd::Ones(values.size()));
    as_made_ = made.answer;
    for (const Answer& answer : {as_made_, near_->at(values, {})}) {
        if (const auto why = answer.missing(points_); !why.empty()) {
            fail(why);
            return;
        }
    }
    refuse_slips(readings_->predict(start_, as_made_), model.moved(values));
    before_ = readings_->residuals(start_, as_made_);
    rest_on(made);
}

void FitSearch::refuse_slips(const VectorXd& predicted, const Moved& made) const {
    std::vector<std::string> errors;
    const auto& list = readings_->readings();
    std::size_t flows = 0;  // of the bench, in the order of its readings
    for (std::size_t k = 0; k < list.size(); ++k) {
        const Reading& reading = list[k];
        const double ratio = reading.value / predicted[static_cast<Index>(k)];
        const bool of_bench = reading.kind == ReadingKind::bench && reading.positive;
        const std::size_t flow = flows;
        flows += of_bench ? 1 : 0;
        if (reading.positive && !(ratio > 1 / largest_ratio && ratio < largest_ratio)) {
            errors.push_back(fmt::format(
                "{}: {}: {} {} read where {} are predicted; check the number and its unit, or take "
                "it out",
                measured_.path,
                reading.name,
                geometry::format_number(geometry::to_unit(reading.value, reading.unit), 4),
                reading.unit,
                geometry::format_number(
                    geometry::to_unit(predicted[static_cast<Index>(k)], reading.unit), 4)));
            continue;
        }
        if (!of_bench || ratio <= 1) {
            continue;  // not above the prediction, so not above the ideal flow
        }
        const BenchReading& bench = measured_.bench[flow];
        const BenchResult as_made = predict(made, bench);
        const double cd = bench.flow() / ideal_flow(as_made, bench);
        if (as_made.converged && cd > 1 + bench.uncertainty) {
            errors.push_back(fmt::format("{}: {}: Cd {:.2f}: {}, or take it out",
                                         measured_.path,
                                         reading.name,
                                         cd,
                                         more_than_ideal));
        }
    }
    if (!errors.empty()) {
        throw InputError(errors);
    }
}

void FitSearch::fail(const std::string& why) {
    failed_ = true;
    fitted_.converged = false;
    fitted_.failure = why;
}

void FitSearch::rest_on(const Solved& solved) {
    solved_ = solved;
    correction_ = near_->correction(solved.x, solved.answer);
}

double FitSearch::distance(const VectorXd& solved) const {
    return solved.size() == 0
               ? 0
               : (entries_of(fitted_.x) - solved).cwiseAbs().cwiseQuotient(scale_).maxCoeff();
}

LeastSquares FitSearch::problem() const {
    LeastSquares p;
    const Index n = start_.size();
    p.start = start_;
    p.prior = readings_->prior();
    p.prior_deviation = deviation_;
    p.lower = VectorXd::Constant(n, -infinity);
    p.upper = VectorXd::Constant(n, infinity);
    p.step = readings_->step();
    p.widened = widened_;
    for (std::size_t i = 0; i < made_.entries.size(); ++i) {
        const auto k = static_cast<Index>(i);
        p.lower[k] = made_.entries[i].least;
        p.upper[k] = made_.entries[i].most;
        p.step[k] = 0.5 * made_.entries[i].deviation();
    }
    p.tolerance = 1e-6;  // of readings worth three digits
    p.near = 0.2;  // a tenth of a deviation: far below what changes a derivative
    p.max_evaluations = 30;
    p.residuals = [this](const MatrixXd& x) {
        MatrixXd r(static_cast<Index>(readings_->readings().size()), x.cols());
        Answer answer;
        for (Index k = 0; k < x.cols(); ++k) {
            // Most trials move what the answer does not depend on.
            const VectorXd values = entries_of(x.col(k));
            if (k == 0 || values != entries_of(x.col(k - 1))) {
                answer = near_->at(values, correction_);
            }
            r.col(k) = readings_->residuals(x.col(k), answer);
        }
        return r;
    };
    return p;
}

bool FitSearch::advance(FitModel& model) {
    while (!failed_) {
        fitted_ = solve_least_squares(problem());
        if (!fitted_.converged) {
            return false;
        }
        start_ = fitted_.x;
        // What a bound holds is as uncertain as if it were free: the truth may lie anywhere on its
        // inner side.
        fitted_.covariance = posterior(fitted_.jacobian, fitted_.weights, deviation_);
        const Index entries = static_cast<Index>(made_.entries.size());
        scale_ = fitted_.covariance.diagonal().head(entries).cwiseMax(0).cwiseSqrt().cwiseMin(
            2 * readings_->deviation().head(entries));
        if (distance(solved_.x) <= at_rest) {
            if (!free_fault()) {
                return false;
            }
            continue;
        }
        if (++rounds_ > most_rounds) {
            fail("the fit did not come to rest");
            return false;
        }
        const Solved& other = model.nearest(entries_of(fitted_.x), scale_);
        if (distance(other.x) > at_rest) {
            return true;
        }
        rest_on(other);
    }
    return false;
}

void FitSearch::take(FitModel& model, const Answer& answer) {
    if (const auto why = answer.missing(points_); !why.empty()) {
        fail(why);
        return;
    }
    const VectorXd x = wanted();
    const VectorXd off = readings_->residuals(fitted_.x, answer) - fitted_.residuals;
    if (off.size() > 0 && off.cwiseAbs().maxCoeff() > missed) {
        near_ = &model.expansion(x, near_);
    }
    model.keep(x, answer);
    rest_on({x, answer});
}

bool FitSearch::free_fault() {
    if (measured_.engine.empty() || named_.size() >= most_faults) {
        return false;
    }
    const auto odds = fault_odds(*readings_, fitted_, finite(deviation_, made_), widened_);
    // What a wrong reading hides shows once it is known.
    if (std::none_of(
            named_.begin(), named_.end(), [](const auto& fault) { return fault.unknown >= 0; })) {
        odds_ = odds;
    }
    if (odds.list.empty() || odds.list.front().probability < named_from) {
        return false;
    }
    named_.push_back(odds.list.front());
    if (named_.back().unknown < 0) {
        widened_[named_.back().reading] = std::hypot(1, fault_reading);
        return true;
    }
    constexpr double sizes[] = {fault_injector, fault_sensor, fault_runner, fault_leak};
    deviation_[named_.back().unknown] = sizes[static_cast<std::size_t>(named_.back().kind)];
    return true;
}

FitResult FitSearch::result(FitModel& model) const {
    const VectorXd x = fitted_.converged ? entries_of(fitted_.x) : model.values_as_made();
    Answer at_fit = near_->at(x, correction_);
    std::erase_if(at_fit.points,
                  [&](const auto& at) { return !solved_.answer.points.contains(at.first); });
    return report({drawn_,
                   measured_,
                   made_,
                   *readings_,
                   model,
                   points_,
                   fitted_,
                   deviation_,
                   before_,
                   odds_,
                   named_,
                   as_made_,
                   std::move(at_fit),
                   near_->slopes(x)});
}

}  // namespace plenair::study

#include "cases/study/fit_model.hpp"

#include "cases/base/parallel.hpp"
#include "cases/study/bench_stations.hpp"
#include "cases/study/march_together.hpp"
#include "geometry/places.hpp"
#include "solver/ensemble/ensemble.hpp"
#include "solver/march/cycle.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

namespace plenair::study {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

/// Periodic residual of trials: worth 0.01 % of a share, far below what a sensor sees.
constexpr double trial_tolerance = 3e-5;
/// Loss at the bends that stands for a worse runner.
constexpr double trial_loss = 0.3;
/// Least step of derivatives over the value: smaller ones drown in the trials' own residuals.
constexpr double least_step = 0.01;

double pressure_of(const PointResult& r) {
    double sum = 0;
    std::size_t count = 0;
    for (const auto& profile : r.pressures) {
        if (geometry::is_plenum(profile.part)) {
            sum = std::accumulate(profile.mean.begin(), profile.mean.end(), sum);
            count += profile.mean.size();
        }
    }
    return count > 0 ? sum / static_cast<double>(count) : 0.0;
}

double pressure_behind(const PointResult& r) {
    return r.source_pressure - r.throttle_loss - r.slot_loss;
}

}  // namespace

FitModel::FitModel(const AsMade& made, const Measured& measured, int threads)
    : made_(made), measured_(measured), threads_(threads) {}

VectorXd FitModel::values_as_made() const {
    VectorXd x(static_cast<Index>(made_.entries.size()));
    for (std::size_t i = 0; i < made_.entries.size(); ++i) {
        x[static_cast<Index>(i)] = made_.entries[i].value;
    }
    return x;
}

Moved FitModel::moved(const VectorXd& values) const {
    Moved v{made_.c.model, made_.c.intake, made_.c.engine};
    v.model.tolerance = std::max(v.model.tolerance, trial_tolerance);
    for (Index i = 0; i < values.size(); ++i) {
        const Entry& entry = made_.entries[static_cast<std::size_t>(i)];
        if (values[i] != entry.value) {
            entry.set(v, values[i]);
        }
    }
    return v;
}

void FitModel::solve_origins() {
    if (!origins_.empty() || !made_.c.has_engine) {
        return;
    }
    origins_.resize(made_.c.points.size());
    for_each_job(origins_.size(), threads_, [&](std::size_t p) {
        Origin& origin = origins_[p];
        CycleOptions options;
        options.end = &origin.end;
        options.traces = true;
        origin.watched =
            solve_point(made_.c.intake, made_.c.engine, made_.c.points[p], made_.c.model, options);
        origin.pressure_offset = pressure_of(origin.watched) - pressure_behind(origin.watched);
    });
    solutions_ += static_cast<int>(origins_.size());
}

Start FitModel::start_of(std::size_t point, const VectorXd& values, const Expansion* near) const {
    Start start = near != nullptr ? near->start_at(point, values) : Start{};
    if (start.state.empty()) {
        start = origins_[point].end;
        start.trapped.clear();  // a moved one traps other masses
    }
    // All take the same steps, so that what they differ by is not that of the steps.
    start.plan = origins_[point].end.plan;
    return start;
}

std::vector<double> FitModel::bench_of(const VectorXd& values) const {
    const Moved v = moved(values);
    std::vector<double> numbers;
    for (const auto& reading : measured_.bench) {
        const auto more = bench_numbers(v, reading);
        numbers.insert(numbers.end(), more.begin(), more.end());
    }
    return numbers;
}

void FitModel::add(const PointResult& result, std::size_t point, Answer& answer) const {
    if (!result.converged) {
        answer.failures[point] = made_.c.points[point].name + ": " + result.failure;
        return;
    }
    PointAnswer& at = answer.points[point];
    for (const auto& cylinder : result.cylinders) {
        at.bias.push_back(cylinder.bias);
    }
    at.air_flow = result.air_flow;
    at.plenum_pressure = pressure_behind(result) + origins_[point].pressure_offset;
}

std::vector<PointResult> FitModel::solve_single(std::size_t point,
                                                const MatrixXd& values,
                                                const Expansion* near,
                                                std::vector<Start>& ends) const {
    std::vector<Moved> variants;
    std::vector<Start> starts;
    for (Index k = 0; k < values.cols(); ++k) {
        variants.push_back(moved(values.col(k)));
        starts.push_back(start_of(point, values.col(k), near));
    }
    const auto variant = [&](std::size_t k) {
        return Variant{&variants[k].intake,
                       &variants[k].model,
                       &variants[k].engine,
                       &made_.c.points[point],
                       {0.0},
                       starts[k].state.empty() ? nullptr : &starts[k]};
    };
    std::vector<Variant> together;
    for (std::size_t k = 0; k < variants.size(); ++k) {
        together.push_back(variant(k));
    }
    EnsembleOptions options;
    options.precision = Precision::float32;
    options.ends = &ends;
    auto results = solve_ensemble(together, options);
    for (std::size_t k = 0; k < results.size(); ++k) {
        if (!results[k].converged) {
            std::vector<Start> end;
            options.precision = Precision::float64;
            options.ends = &end;
            const Variant alone[] = {variant(k)};
            results[k] = solve_ensemble(alone, options).front();
            ends[k] = end.front();
        }
    }
    return results;
}

std::vector<PointResult> FitModel::solve_at(std::size_t point,
                                            const MatrixXd& values,
                                            const std::vector<const Expansion*>& near) const {
    std::vector<Moved> variants;
    std::vector<Start> starts;
    for (Index k = 0; k < values.cols(); ++k) {
        variants.push_back(moved(values.col(k)));
        starts.push_back(start_of(point, values.col(k), near[static_cast<std::size_t>(k)]));
    }
    const OperatingPoint& at = made_.c.points[point];
    std::vector<PointResult> results(variants.size());
    if (variants.size() >= enough_for_lanes) {
        std::vector<Variant> together;
        for (std::size_t k = 0; k < variants.size(); ++k) {
            together.push_back({&variants[k].intake,
                                &variants[k].model,
                                &variants[k].engine,
                                &at,
                                {0.0},
                                starts[k].state.empty() ? nullptr : &starts[k]});
        }
        results = solve_ensemble(together, {});
    }
    for (std::size_t k = 0; k < results.size(); ++k) {
        const Moved& v = variants[k];
        if (!results[k].converged && !starts[k].state.empty()) {
            CycleOptions options;
            options.from = &starts[k];
            options.plans = {starts[k].plan};
            options.min_cycles = 1;
            results[k] = solve_point(v.intake, v.engine, at, v.model, options);
        }
        if (!results[k].converged) {
            results[k] = solve_point(v.intake, v.engine, at, v.model, {});
        }
    }
    return results;
}

const Expansion& FitModel::expansion(const VectorXd& centre, const Expansion* near) {
    auto& kept = expansions_[{centre.begin(), centre.end()}];
    if (kept) {
        return *kept;
    }
    solve_origins();
    const Index entries = centre.size();
    MatrixXd trials = centre.replicate(1, 1 + 2 * entries);
    for (Index i = 0; i < entries; ++i) {
        const Entry& entry = made_.entries[static_cast<std::size_t>(i)];
        const double step = std::max(entry.deviation(), least_step * std::abs(entry.value));
        trials(i, 1 + 2 * i) = std::max(centre[i] - step, std::min(entry.least, centre[i]));
        trials(i, 2 + 2 * i) = std::min(centre[i] + step, std::max(entry.most, centre[i]));
    }
    const auto count = static_cast<std::size_t>(trials.cols());
    const std::size_t points = origins_.size();
    const std::size_t benches = measured_.bench.empty() ? 0 : count;
    std::vector<Answer> answers(count);
    std::vector<std::vector<PointResult>> results(points);
    std::vector<std::vector<Start>> ends(points);
    for_each_job(points + benches, threads_, [&](std::size_t job) {
        if (job < points) {
            results[job] = solve_single(job, trials, near, ends[job]);
        } else {
            answers[job - points].bench = bench_of(trials.col(static_cast<Index>(job - points)));
        }
    });
    std::map<std::size_t, std::vector<Start>> ends_of;
    for (std::size_t p = 0; p < points; ++p) {
        for (std::size_t k = 0; k < count; ++k) {
            add(results[p][k], p, answers[k]);
        }
        ends_of[p] = std::move(ends[p]);
    }
    solutions_ += static_cast<int>(points * count);
    if (centre == values_as_made()) {
        // As it was solved for the report.
        Answer made = answers.front();
        for (std::size_t p = 0; p < points; ++p) {
            if (origins_[p].watched.converged) {
                made.points.erase(p);
                add(origins_[p].watched, p, made);
            }
        }
        keep(centre, made);
    }
    kept = std::make_unique<Expansion>(std::move(trials), answers, std::move(ends_of));
    return *kept;
}

std::vector<Answer> FitModel::solve(const MatrixXd& values,
                                    const std::vector<const Expansion*>& near) {
    solve_origins();
    const auto count = static_cast<std::size_t>(values.cols());
    const std::size_t points = origins_.size();
    const std::size_t benches = measured_.bench.empty() ? 0 : count;
    std::vector<Answer> answers(count);
    std::vector<std::vector<PointResult>> results(points);
    for_each_job(points + benches, threads_, [&](std::size_t job) {
        if (job < points) {
            results[job] = solve_at(job, values, near);
            return;
        }
        const std::size_t k = job - points;
        const VectorXd x = values.col(static_cast<Index>(k));
        answers[k].bench = bench_trusted_ ? near[k]->at(x, {}).bench : bench_of(x);
    });
    for (std::size_t p = 0; p < points; ++p) {
        for (std::size_t k = 0; k < count; ++k) {
            add(results[p][k], p, answers[k]);
        }
    }
    solutions_ += static_cast<int>(points * count);
    return answers;
}

void FitModel::keep(const VectorXd& x, const Answer& answer) {
    kept_.push_back({x, answer});
}

const Solved& FitModel::nearest(const VectorXd& x, const VectorXd& scale) {
    if (kept_.empty()) {
        (void)expansion(values_as_made());
    }
    const auto distance = [&](const Solved& s) {
        return x.size() == 0 ? 0.0 : ((s.x - x).cwiseAbs().cwiseQuotient(scale)).maxCoeff();
    };
    return *std::min_element(kept_.begin(), kept_.end(), [&](const Solved& a, const Solved& b) {
        return distance(a) < distance(b);
    });
}

const PointResult& FitModel::watched(std::size_t point) {
    solve_origins();
    return origins_[point].watched;
}

const PointEffects& FitModel::effects(std::size_t point) {
    solve_origins();
    if (effects_.empty()) {
        effects_.resize(origins_.size());
        for_each_job(
            origins_.size(), threads_, [&](std::size_t p) { effects_[p] = effects_at(p); });
        solutions_ += static_cast<int>(origins_.size() * (1 + effects_.front().runner.size()));
    }
    return effects_[point];
}

PointEffects FitModel::effects_at(std::size_t point) const {
    PointEffects found;
    const Origin& origin = origins_[point];
    found.pressures = origin.watched.pressures;
    std::vector<Moved> variants;
    std::vector<Variant> list;
    std::vector<int> cylinders;
    for (std::size_t b = 0; b < made_.c.intake.banks.size(); ++b) {
        for (std::size_t r = 0; r < made_.c.intake.banks[b].runners.size(); ++r) {
            Moved v = moved({});
            v.intake.banks[b].runners[r].bend_loss += trial_loss;
            variants.push_back(std::move(v));
            cylinders.push_back(made_.c.intake.banks[b].cylinders[r]);
        }
    }
    variants.push_back(moved({}));
    const Start start = start_of(point, {}, nullptr);
    for (const auto& v : variants) {
        list.push_back({&v.intake,
                        &v.model,
                        &v.engine,
                        &made_.c.points[point],
                        {},
                        start.state.empty() ? nullptr : &start});
    }
    const auto results = solve_ensemble(list, {});
    const auto count = static_cast<std::size_t>(made_.c.engine.cylinder_count());
    found.runner.assign(count, std::vector<double>(count, 0.0));
    const PointResult& base = results.back();
    found.plenum_pressure = base.converged ? pressure_behind(base) + origin.pressure_offset
                                           : made_.c.points[point].pressure;
    for (std::size_t i = 0; i + 1 < results.size(); ++i) {
        const auto own = static_cast<std::size_t>(cylinders[i]) - 1;
        if (!results[i].converged || !base.converged) {
            continue;
        }
        for (std::size_t k = 0; k < count; ++k) {
            found.runner[own][k] =
                (results[i].cylinders[k].bias - base.cylinders[k].bias) / trial_loss;
        }
    }
    return found;
}

}  // namespace plenair::study

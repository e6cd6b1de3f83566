#include "cases/study/fit_model.hpp"

#include "cases/study/bench_compare.hpp"
#include "cases/study/parallel.hpp"
#include "solver/ensemble/ensemble.hpp"
#include "solver/march/cycle.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>
#include <set>
#include <utility>

namespace plenair::study {

namespace {

/// Periodic residual of trials: worth 0.01 % of a share, far below what a sensor sees.
constexpr double trial_tolerance = 3e-5;
/// Loss at the bends that stands for a worse runner.
constexpr double trial_loss = 0.3;

double pressure_of(const PointResult& r) {
    double sum = 0;
    std::size_t count = 0;
    for (const auto& profile : r.pressures) {
        if (profile.part.ends_with("plenum")) {
            sum = std::accumulate(profile.mean.begin(), profile.mean.end(), sum);
            count += profile.mean.size();
        }
    }
    return count > 0 ? sum / static_cast<double>(count) : 0.0;
}

PointAnswer answer_of(const PointResult& r, double pressure_offset) {
    PointAnswer answer;
    for (const auto& cylinder : r.cylinders) {
        answer.bias.push_back(cylinder.bias);
    }
    answer.air_flow = r.air_flow;
    answer.plenum_pressure = r.source_pressure - r.throttle_loss - r.slot_loss + pressure_offset;
    return answer;
}

/// Widths at stations in place of the drawn ones.
void set_widths(geometry::Slot& slot, const GaugeReading& gauge) {
    for (auto& piece : slot.pieces) {
        if (gauge.x.size() > 1) {
            piece.width = geometry::Profile::stations(gauge.x, gauge.value);
            continue;
        }
        const double factor =
            gauge.value.front() / piece.width.mean(piece.x, piece.x + piece.length);
        std::vector<double> width = piece.width.value();
        for (double& w : width) {
            w *= factor;
        }
        piece.width = geometry::Profile::stations(piece.width.x(), width);
    }
}

void set_slot(geometry::Slot& slot, const GaugeReading& gauge) {
    if (gauge.entry == "slot.width") {
        set_widths(slot, gauge);
    } else if (gauge.entry == "slot.edge_radius") {
        slot.edge_radius = gauge.mean();
    } else if (gauge.entry == "slot.land") {
        slot.land = gauge.mean();
    }
}

/// What was found in place of what was drawn.
void set_gauged(Case& c, const GaugeReading& gauge) {
    std::size_t runner = 0;
    for (std::size_t b = 0; b < c.intake.banks.size(); ++b) {
        auto& bank = c.intake.banks[b];
        if (!gauge.of_bank(b)) {
            continue;
        }
        if (bank.slot) {
            set_slot(*bank.slot, gauge);
        }
        for (auto& throttle : bank.throttles) {
            if (gauge.entry == "throttle.bore") {
                throttle.bore = gauge.mean();
            } else if (gauge.entry == "throttle.shaft") {
                throttle.shaft = gauge.mean();
            }
        }
        for (auto& r : bank.runners) {
            const double value = gauge.value.size() > 1 ? gauge.value[runner] : gauge.value.front();
            if (gauge.entry == "runner.length") {
                r.length = value + r.port_length;
            } else if (gauge.entry == "runner.bell_radius") {
                r.bell_radius = value;
            }
            runner += gauge.entry.starts_with("runner.") ? 1 : 0;
        }
    }
}

/// Whether an entry was gauged wherever the case has it, and the widest of these uncertainties.
std::optional<double> gauged_within(const Case& c, const Measured& measured, const Entry& entry) {
    double widest = 0;
    for (std::size_t b = 0; b < c.intake.banks.size(); ++b) {
        if (entry.key.starts_with("slot.") && !c.intake.banks[b].slot) {
            continue;
        }
        const auto found = std::find_if(
            measured.gauges.begin(), measured.gauges.end(), [&](const GaugeReading& g) {
                return g.entry == entry.key && g.of_bank(b);
            });
        if (found == measured.gauges.end()) {
            return std::nullopt;
        }
        widest = std::max(widest, found->uncertainty);
    }
    return widest;
}

}  // namespace

AsMade as_made(const Case& drawn, const Measured& measured) {
    AsMade made{drawn, {}, {}};
    for (const auto& gauge : measured.gauges) {
        set_gauged(made.c, gauge);
    }
    made.entries = uncertain_entries(made.c);
    for (auto& entry : made.entries) {
        const auto within = gauged_within(made.c, measured, entry);
        if (within) {
            entry.low = std::max(entry.value - *within, 0.0);
            entry.high = entry.value + *within;
        }
        made.gauged.push_back(within.has_value());
    }
    return made;
}

FitModel::FitModel(const AsMade& made, const Measured& measured, int threads)
    : made_(made), measured_(measured), threads_(threads) {}

Moved FitModel::moved(const std::vector<double>& values) const {
    Moved v{made_.c.model, made_.c.intake, made_.c.engine};
    v.model.tolerance = std::max(v.model.tolerance, trial_tolerance);
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (values[i] != made_.entries[i].value) {
            made_.entries[i].set(v, values[i]);
        }
    }
    return v;
}

void FitModel::start_points(const std::vector<std::size_t>& points) {
    std::vector<std::size_t> fresh;
    for (const std::size_t p : points) {
        if (!starts_.contains(p)) {
            fresh.push_back(p);
            starts_[p] = {};
        }
    }
    for_each_job(fresh.size(), threads_, [&](std::size_t k) {
        Start& start = starts_.at(fresh[k]);
        CycleOptions options;
        options.final_state = &start.end.state;
        options.traces = true;
        start.watched = solve_point(
            made_.c.intake, made_.c.engine, made_.c.points[fresh[k]], made_.c.model, options);
        const PointResult& r = start.watched;
        start.end.age = r.cycles;
        start.pressure_offset =
            pressure_of(r) - (r.source_pressure - r.throttle_loss - r.slot_loss);
    });
    solutions_ += static_cast<int>(fresh.size());
}

void FitModel::solve_at(std::size_t point,
                        const std::vector<std::vector<double>>& trials,
                        std::vector<PointAnswer>& answers,
                        std::vector<std::string>& failures) {
    const Start& start = starts_.at(point);
    answers.resize(trials.size());
    failures.resize(trials.size());
    std::vector<Moved> variants;
    variants.reserve(trials.size());
    std::vector<Variant> together;
    for (const auto& trial : trials) {
        const Moved& v = variants.emplace_back(moved(trial));
        together.push_back(
            {&v.intake, &v.model, &v.engine, &made_.c.points[point], {}, &start.end});
    }
    const auto results = solve_ensemble(together, {});
    for (std::size_t i = 0; i < trials.size(); ++i) {
        if (results[i].converged) {
            answers[i] = answer_of(results[i], start.pressure_offset);
        } else {
            failures[i] = made_.c.points[point].name + ": " + results[i].failure;
        }
    }
}

std::vector<Answer> FitModel::evaluate(const Eigen::MatrixXd& values,
                                       const std::vector<std::size_t>& points) {
    start_points(points);
    const auto count = static_cast<std::size_t>(values.cols());
    std::vector<std::vector<double>> trials(count);
    std::set<std::vector<double>> distinct;
    for (std::size_t k = 0; k < count; ++k) {
        const auto column = values.col(static_cast<Eigen::Index>(k));
        trials[k].assign(column.begin(), column.end());
        distinct.insert(trials[k]);
    }
    // One job a point, one a bench trial: both cores are busy and nothing depends on their order.
    struct Job {
        std::size_t point = 0;
        std::vector<std::vector<double>> trials;
        std::vector<PointAnswer> answers;
        std::vector<std::string> failures;
    };
    std::vector<Job> jobs;
    for (const std::size_t p : std::set<std::size_t>(points.begin(), points.end())) {
        Job job{p, {}, {}, {}};
        for (const auto& trial : distinct) {
            if (!known_.contains({p, trial})) {
                job.trials.push_back(trial);
            }
        }
        if (!job.trials.empty()) {
            jobs.push_back(std::move(job));
        }
    }
    std::vector<std::vector<double>> bench_trials;
    for (const auto& trial : distinct) {
        if (!measured_.bench.empty() && !known_bench_.contains(trial)) {
            bench_trials.push_back(trial);
        }
    }
    std::vector<std::vector<double>> flows(bench_trials.size());
    for_each_job(jobs.size() + bench_trials.size(), threads_, [&](std::size_t i) {
        if (i < jobs.size()) {
            solve_at(jobs[i].point, jobs[i].trials, jobs[i].answers, jobs[i].failures);
            return;
        }
        const Moved v = moved(bench_trials[i - jobs.size()]);
        for (const auto& reading : measured_.bench) {
            const BenchResult r = predict(v, reading);
            flows[i - jobs.size()].push_back(r.converged ? r.flow : std::nan(""));
        }
    });
    std::map<std::pair<std::size_t, std::vector<double>>, std::string> failed;
    for (const auto& job : jobs) {
        solutions_ += static_cast<int>(job.trials.size());
        for (std::size_t i = 0; i < job.trials.size(); ++i) {
            if (job.failures[i].empty()) {
                known_[{job.point, job.trials[i]}] = job.answers[i];
            } else {
                failed[{job.point, job.trials[i]}] = job.failures[i];
            }
        }
    }
    for (std::size_t i = 0; i < bench_trials.size(); ++i) {
        known_bench_[bench_trials[i]] = flows[i];
    }
    std::vector<Answer> answers(count);
    for (std::size_t k = 0; k < count; ++k) {
        for (const std::size_t p : points) {
            const auto found = known_.find({p, trials[k]});
            if (found == known_.end()) {
                answers[k].good = false;
                answers[k].failure = failed[{p, trials[k]}];
            } else {
                answers[k].points[p] = found->second;
            }
        }
        if (!measured_.bench.empty()) {
            answers[k].bench_flow = known_bench_.at(trials[k]);
            for (const double f : answers[k].bench_flow) {
                if (!std::isfinite(f)) {
                    answers[k].good = false;
                    answers[k].failure = "a bench set-up did not converge";
                }
            }
        }
    }
    return answers;
}

const PointResult& FitModel::watched(std::size_t point) {
    start_points({point});
    return starts_.at(point).watched;
}

const PointEffects& FitModel::effects(std::size_t point) {
    const auto [place, fresh] = effects_.try_emplace(point);
    PointEffects& found = place->second;
    if (!fresh) {
        return found;
    }
    start_points({point});
    const Start& start = starts_.at(point);
    found.pressures = start.watched.pressures;
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
    for (const auto& v : variants) {
        list.push_back({&v.intake, &v.model, &v.engine, &made_.c.points[point], {}, &start.end});
    }
    const auto results = solve_ensemble(list, {});
    solutions_ += static_cast<int>(list.size());
    const auto count = static_cast<std::size_t>(made_.c.engine.cylinder_count());
    found.runner.assign(count, std::vector<double>(count, 0.0));
    const PointResult& base = results.back();
    found.plenum_pressure = base.converged ? answer_of(base, start.pressure_offset).plenum_pressure
                                           : made_.c.points[point].pressure;
    for (std::size_t i = 0; i + 1 < results.size(); ++i) {
        const auto own = static_cast<std::size_t>(cylinders[i]) - 1;
        if (!results[i].converged || !base.converged) {
            found.runner[own][own] = -1.0;
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

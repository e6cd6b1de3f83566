#include "cases/study/fit_report.hpp"

#include "cases/study/bench_compare.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace plenair::study {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

constexpr double normal95 = 1.96;

}  // namespace

double FitReport::half(const VectorXd& row) const {
    return normal95 * std::sqrt(std::max(row.dot(fitted.covariance * row), 0.0));
}

void FitReport::add_entries(FitResult& result) const {
    for (std::size_t i = 0; i < made.entries.size(); ++i) {
        const auto k = static_cast<Index>(i);
        const Entry& entry = made.entries[i];
        const bool prior = std::isfinite(deviation[k]);
        result.entries.push_back(
            {entry.key,
             entry.label,
             entry.unit,
             entry.value,
             prior ? normal95 * deviation[k] : 0.0,
             fitted.x[k],
             std::min(normal95 * std::sqrt(std::max(fitted.covariance(k, k), 0.0)),
                      entry.most - entry.least),
             made.gauged[i],
             fitted.at_bound[i]});
    }
}

void FitReport::add_readings(FitResult& result) const {
    const auto& list = readings.readings();
    for (std::size_t i = 0; i < list.size(); ++i) {
        const auto k = static_cast<Index>(i);
        const auto& r = list[i];
        FittedReading shown;
        shown.name = r.name;
        shown.unit = r.unit;
        shown.value = r.value;
        shown.half = normal95 * r.deviation;
        shown.before = r.value - before[k] * r.deviation;
        shown.after = r.value - fitted.residuals[k] * r.deviation;
        shown.residual = fitted.residuals[k];
        shown.misfit = std::abs(fitted.residuals[k]) > 3;
        result.all_readings.push_back(shown);
    }
    result.readings = static_cast<int>(list.size());
    result.sum_before = before.squaredNorm();
    result.sum_after = fitted.residuals.squaredNorm();
}

void FitReport::add_slot_cd(FitResult& result) const {
    const auto read = std::find_if(measured.bench.begin(), measured.bench.end(), [](const auto& b) {
        return b.set_up == BenchSetUp::slot;
    });
    if (read == measured.bench.end()) {
        return;
    }
    const auto entries = static_cast<Index>(made.entries.size());
    const Moved v = model.moved({fitted.x.begin(), fitted.x.begin() + entries});
    // The width as fitted, without the coefficient that the widths of `v` also stand for.
    double wider = 1;
    for (Index i = 0; i < entries; ++i) {
        const Entry& entry = made.entries[static_cast<std::size_t>(i)];
        wider = entry.key == "slot.width" ? fitted.x[i] / entry.value : wider;
    }
    for (std::size_t b = 0; b < made.c.intake.banks.size(); ++b) {
        BenchReading reading = *read;
        if (read->bank) {
            reading.bank = b;
        }
        const auto& slot = made.c.intake.banks[b].slot;
        const BenchResult r = slot ? predict(v, reading) : BenchResult{};
        result.slot_cd.push_back(r.converged ? r.flow / (slot->area() * wider *
                                                         ideal_flux(reading.barometer,
                                                                    reading.temperature,
                                                                    reading.gas_constant,
                                                                    reading.depression))
                                             : 0.0);
    }
}

void FitReport::add_alike(FitResult& result) const {
    constexpr double alike_from = 0.7;
    const auto& cov = fitted.covariance;
    for (std::size_t i = 0; i < made.entries.size(); ++i) {
        for (std::size_t j = i + 1; j < made.entries.size(); ++j) {
            const auto a = static_cast<Index>(i);
            const auto b = static_cast<Index>(j);
            const double norm = std::sqrt(cov(a, a) * cov(b, b));
            const double correlation = norm > 0 ? cov(a, b) / norm : 0.0;
            if (std::abs(correlation) < alike_from) {
                continue;
            }
            const auto gauge = [&](std::size_t e) {
                return made.entries[e].unit == "mm" && !made.gauged[e];
            };
            result.alike.push_back(
                fmt::format("{} and {} act alike on these readings (correlation {:+.2f}): {}",
                            made.entries[i].key,
                            made.entries[j].key,
                            correlation,
                            gauge(i) && gauge(j) ? "gauge one of them"
                            : gauge(i)           ? "gauge " + made.entries[i].key
                            : gauge(j)           ? "gauge " + made.entries[j].key
                                       : "only another kind of reading tells them apart"));
        }
    }
}

void FitReport::add_joint(FitResult& result) const {
    for (std::size_t i = 0; i < made.entries.size(); ++i) {
        const auto a = static_cast<Index>(i);
        result.joint.entries.push_back(made.entries[i].key);
        result.joint.deviation.push_back(std::sqrt(std::max(fitted.covariance(a, a), 0.0)));
        for (std::size_t j = 0; j < i; ++j) {
            const auto b = static_cast<Index>(j);
            const double norm = result.joint.deviation[i] * result.joint.deviation[j];
            result.joint.correlation.push_back(norm > 0 ? fitted.covariance(a, b) / norm : 0.0);
        }
    }
}

MatrixXd FitReport::bias_rows(std::size_t point,
                              const MatrixXd& trials,
                              const std::vector<Answer>& answers) {
    const auto& unknowns = readings.unknowns();
    const auto cylinders = static_cast<std::size_t>(drawn.engine.cylinder_count());
    MatrixXd rows = MatrixXd::Zero(static_cast<Index>(cylinders), unknowns.count());
    for (Index i = 0; i < trials.rows(); ++i) {
        const auto& low = answers[static_cast<std::size_t>(2 + 2 * i)].points.at(point);
        const auto& high = answers[static_cast<std::size_t>(3 + 2 * i)].points.at(point);
        const double width = trials(i, 3 + 2 * i) - trials(i, 2 + 2 * i);
        for (std::size_t c = 0; c < cylinders; ++c) {
            rows(static_cast<Index>(c), i) = (high.bias[c] - low.bias[c]) / width;
        }
    }
    if (unknowns.cylinders == 0) {
        return rows;
    }
    const QuirkActs acts = readings.acts(point, model.effects(point));
    for (std::size_t c = 0; c < cylinders; ++c) {
        const auto k = static_cast<Index>(c);
        for (std::size_t r = 0; r < cylinders; ++r) {
            rows(k, unknowns.quirk(Quirk::runner, r)) = acts.runner[r][c];
        }
        rows(k, unknowns.quirk(Quirk::leak, c)) = acts.leak;
    }
    return rows;
}

void FitReport::add_air(FitResult& result) {
    if (!drawn.has_engine) {
        return;
    }
    all_points_.resize(drawn.points.size());
    std::iota(all_points_.begin(), all_points_.end(), std::size_t{0});
    const auto count = static_cast<Index>(made.entries.size());
    // Column 0 the fit, 1 the prior, then two for each entry, where the fit made its own.
    MatrixXd trials(count, 2 + 2 * count);
    for (Index k = 0; k < trials.cols(); ++k) {
        trials.col(k) = (k < 2 ? fitted.x : fitted.jacobian_at).head(count);
    }
    for (Index i = 0; i < count; ++i) {
        const Entry& entry = made.entries[static_cast<std::size_t>(i)];
        trials(i, 1) = entry.value;
        const double step = 0.5 * entry.deviation();
        trials(i, 2 + 2 * i) = std::max(fitted.jacobian_at[i] - step, entry.least);
        trials(i, 3 + 2 * i) = std::min(fitted.jacobian_at[i] + step, entry.most);
    }
    const auto answers = model.evaluate(trials, all_points_);
    at_fit_ = answers[0];
    const auto& unknowns = readings.unknowns();
    const auto cylinders = static_cast<std::size_t>(drawn.engine.cylinder_count());
    for (const std::size_t p : all_points_) {
        const bool good = std::all_of(
            answers.begin(), answers.end(), [&](const Answer& a) { return a.points.contains(p); });
        if (!good) {
            result.notes.push_back(
                fmt::format("{}: no shares, for a trial did not converge", drawn.points[p].name));
            continue;
        }
        const MatrixXd rows = bias_rows(p, trials, answers);
        VectorXd air = VectorXd::Zero(unknowns.count());
        for (Index i = 0; i < count; ++i) {
            const auto& low = answers[static_cast<std::size_t>(2 + 2 * i)].points.at(p);
            const auto& high = answers[static_cast<std::size_t>(3 + 2 * i)].points.at(p);
            const double width = trials(i, 3 + 2 * i) - trials(i, 2 + 2 * i);
            air[i] = (high.air_flow - low.air_flow) / width / at_fit_.points.at(p).air_flow;
        }
        FittedAir shown;
        shown.point = drawn.points[p].name;
        const VectorXd moved = fitted.x - readings.prior();
        for (std::size_t c = 0; c < cylinders; ++c) {
            const VectorXd row = rows.row(static_cast<Index>(c));
            double quirks = 0;
            double prior_variance = 0;
            for (Index i = 0; i < row.size(); ++i) {
                quirks += i >= count ? row[i] * moved[i] : 0.0;
                const double d =
                    std::isfinite(readings.deviation()[i]) ? readings.deviation()[i] : 0;
                prior_variance += row[i] * row[i] * d * d;
            }
            shown.before.push_back(answers[1].points.at(p).bias[c]);
            shown.before_half.push_back(normal95 * std::sqrt(prior_variance));
            shown.after.push_back(at_fit_.points.at(p).bias[c] + quirks);
            shown.after_half.push_back(half(row));
        }
        const auto spread = [](const std::vector<double>& bias) {
            const auto [least, most] = std::minmax_element(bias.begin(), bias.end());
            return std::pair(least - bias.begin(), most - bias.begin());
        };
        const auto [low0, high0] = spread(shown.before);
        const auto [low1, high1] = spread(shown.after);
        shown.spread_before = shown.before[static_cast<std::size_t>(high0)] -
                              shown.before[static_cast<std::size_t>(low0)];
        shown.spread_after = shown.after[static_cast<std::size_t>(high1)] -
                             shown.after[static_cast<std::size_t>(low1)];
        const VectorXd row0 = rows.row(high0) - rows.row(low0);
        double variance = 0;
        for (Index i = 0; i < row0.size(); ++i) {
            variance += row0[i] * row0[i] * readings.deviation()[i] * readings.deviation()[i];
        }
        shown.spread_before_half = normal95 * std::sqrt(variance);
        shown.spread_after_half = half(rows.row(high1) - rows.row(low1));
        result.air.push_back(shown);
        bias_rows_[p] = rows;
        air_rows_[p] = air;
    }
}

std::string FitReport::fault_text(const FaultCandidate& fault, double size) const {
    if (fault.kind == FaultKind::reading) {
        const auto& r = readings.readings()[static_cast<std::size_t>(fault.reading)];
        return fmt::format("{} does not fit the other readings; read it again", r.name);
    }
    const int cylinder = static_cast<int>(fault.cylinder) + 1;
    const double percent = 100 * std::abs(size);
    switch (fault.kind) {
        case FaultKind::injector:
            return fmt::format("cylinder {}: check injector (flows about {:.1f} % {})",
                               cylinder,
                               percent,
                               size < 0 ? "low" : "high");
        case FaultKind::sensor:
            return fmt::format("cylinder {}: check lambda sensor (reads about {:.3f} {})",
                               cylinder,
                               std::abs(size),
                               size < 0 ? "rich" : "lean");
        case FaultKind::runner:
            return fmt::format("cylinder {}: check runner, port and valve (air about {:.1f} % {})",
                               cylinder,
                               percent,
                               size < 0 ? "low" : "high");
        default:
            return fmt::format(
                "cylinder {}: check for a leak behind the plenum (air about {:.1f} "
                "% off where it is worst)",
                cylinder,
                percent);
    }
}

void FitReport::add_faults(FitResult& result) const {
    result.no_fault = odds.none;
    for (const auto& candidate : odds.list) {
        if (candidate.probability < 0.01 || result.faults.size() >= 8) {
            break;
        }
        Fault fault;
        fault.kind = candidate.kind;
        fault.cylinder = static_cast<int>(candidate.cylinder) + 1;
        fault.probability = candidate.probability;
        fault.named = std::any_of(named.begin(), named.end(), [&](const FaultCandidate& n) {
            return n.kind == candidate.kind && n.unknown == candidate.unknown &&
                   n.reading == candidate.reading;
        });
        fault.size =
            fault.named && candidate.unknown >= 0 ? fitted.x[candidate.unknown] : candidate.size;
        fault.text = fault_text(candidate, fault.size);
        result.faults.push_back(fault);
    }
    for (const auto& n : named) {
        const bool there =
            std::any_of(result.faults.begin(), result.faults.end(), [&](const Fault& f) {
                return f.named && f.kind == n.kind &&
                       f.cylinder == static_cast<int>(n.cylinder) + 1;
            });
        if (!there) {
            const double size = n.unknown >= 0 ? fitted.x[n.unknown] : 0.0;
            result.faults.push_back({n.kind,
                                     static_cast<int>(n.cylinder) + 1,
                                     n.probability,
                                     size,
                                     fault_text(n, size),
                                     true});
        }
    }
}

void FitReport::add_splits(FitResult& result) const {
    const auto& unknowns = readings.unknowns();
    for (std::size_t c = 0; c < unknowns.cylinders; ++c) {
        LambdaSplit split;
        split.cylinder = static_cast<int>(c) + 1;
        double count = 0;
        double level = 0;
        const auto& list = readings.readings();
        for (std::size_t i = 0; i < list.size(); ++i) {
            const auto& r = list[i];
            if (r.kind != ReadingKind::lambda || r.cylinder != c) {
                continue;
            }
            const auto k = static_cast<Index>(i);
            // Against the drawing with the mixture of all cylinders as fitted.
            const double predicted =
                (r.value - before[k] * r.deviation) * fitted.x[unknowns.mixture(r.index)];
            split.excess += r.value - predicted;
            split.unexplained += fitted.residuals[k] * r.deviation;
            level += r.value;
            ++count;
        }
        split.measured = count > 0;
        if (split.measured) {
            split.excess /= count;
            split.unexplained /= count;
            level /= count;
            split.injector = -level * fitted.x[unknowns.quirk(Quirk::injector, c)];
            split.sensor = fitted.x[unknowns.quirk(Quirk::sensor, c)];
            split.air = split.excess - split.injector - split.sensor - split.unexplained;
        }
        for (const auto& f : odds.list) {
            if (f.cylinder != c) {
                continue;
            }
            (f.kind == FaultKind::injector  ? split.probability_injector
             : f.kind == FaultKind::sensor  ? split.probability_sensor
             : f.kind == FaultKind::reading ? split.probability_none
                                            : split.probability_air) +=
                f.kind == FaultKind::reading ? 0.0 : f.probability;
        }
        split.probability_none = std::max(
            1 - split.probability_injector - split.probability_sensor - split.probability_air, 0.0);
        result.splits.push_back(split);
    }
}

void FitReport::add_trims(FitResult& result) const {
    const auto& unknowns = readings.unknowns();
    for (std::size_t p = 0; p < measured.engine.size(); ++p) {
        const auto& e = measured.engine[p];
        const auto rows = bias_rows_.find(e.point);
        // A second reading of a point, with sensors moved, is of the same trims.
        const bool again =
            std::find(points.begin(), points.begin() + static_cast<Index>(p), e.point) !=
            points.begin() + static_cast<Index>(p);
        if (e.lambda_count() == 0 || rows == bias_rows_.end() || again) {
            continue;
        }
        const double target = drawn.points[e.point].combustion.lambda;
        std::vector<FittedTrim> at_point;
        double mean = 0;
        for (std::size_t c = 0; c < unknowns.cylinders; ++c) {
            FittedTrim trim;
            trim.point = e.name;
            trim.cylinder = static_cast<int>(c) + 1;
            trim.measured = e.lambda[c].has_value();
            trim.lambda = readings.lambda(fitted.x, at_fit_, p, c);
            VectorXd row = rows->second.row(static_cast<Index>(c)) * trim.lambda;
            row[unknowns.quirk(Quirk::injector, c)] -= trim.lambda;
            row[unknowns.mixture(p)] += trim.lambda / fitted.x[unknowns.mixture(p)];
            trim.lambda_half = half(row);
            trim.half = trim.lambda_half / target;
            trim.trim = (1 + e.trims[c]) * trim.lambda / target - 1;
            mean += trim.trim / static_cast<double>(unknowns.cylinders);
            at_point.push_back(trim);
        }
        for (auto& trim : at_point) {
            // Mean zero, so that the whole mixture stays; a cylinder without a sensor is kept rich
            // by as much as it may be lean.
            trim.trim += -mean + (trim.measured ? 0.0 : trim.half);
            result.trims.push_back(trim);
        }
    }
}

void FitReport::add_next(FitResult& result) {
    const auto& unknowns = readings.unknowns();
    std::vector<Candidate> candidates;
    std::vector<Target> targets;
    const auto unit = [&](Index k, double scale) {
        VectorXd row = VectorXd::Zero(unknowns.count());
        row[k] = scale;
        return row;
    };
    for (std::size_t i = 0; i < made.entries.size(); ++i) {
        const Entry& entry = made.entries[i];
        const auto k = static_cast<Index>(i);
        if (entry.unit == "mm" && !made.gauged[i]) {
            const auto* instrument = entry.key == "slot.edge_radius" ? "radius gauge"
                                     : entry.key == "slot.width"     ? "pin gauge"
                                                                     : "micrometer";
            const double sigma = usual::gauge(instrument).value_or(1e-4) / normal95;
            candidates.push_back(
                {fmt::format("gauge {} ({}, +/-{})",
                             entry.label,
                             instrument,
                             geometry::format_limit(normal95 * sigma, result.units, 2)),
                 1,
                 unit(k, 1 / sigma)});
        }
        for (std::size_t j = 0; j < made.entries.size(); ++j) {
            const auto b = static_cast<Index>(j);
            const double norm = std::sqrt(fitted.covariance(k, k) * fitted.covariance(b, b));
            if (i != j && norm > 0 && std::abs(fitted.covariance(k, b)) > 0.3 * norm &&
                entry.unit != "mm") {
                targets.push_back({unit(k, 1.0), entry.key});
                break;
            }
        }
    }
    for (const auto& [p, rows] : bias_rows_) {
        Index low = 0;
        Index high = 0;
        const auto& bias = at_fit_.points.at(p).bias;
        low = std::min_element(bias.begin(), bias.end()) - bias.begin();
        high = std::max_element(bias.begin(), bias.end()) - bias.begin();
        targets.push_back({rows.row(high) - rows.row(low), ""});
        const auto read = std::find(points.begin(), points.end(), p);
        const double target = drawn.points[p].combustion.lambda;
        if (read != points.end()) {
            const auto at = static_cast<std::size_t>(read - points.begin());
            for (std::size_t c = 0; c < unknowns.cylinders; ++c) {
                if (c < measured.engine[at].lambda.size() && measured.engine[at].lambda[c]) {
                    continue;
                }
                VectorXd row = rows.row(static_cast<Index>(c)) * target;
                row[unknowns.quirk(Quirk::injector, c)] -= target;
                row[unknowns.quirk(Quirk::sensor, measured.engine[at].sensor_of(c))] += 1;
                row[unknowns.mixture(at)] += target;
                candidates.push_back({fmt::format("lambda of cylinder {} at {} (+/-{})",
                                                  c + 1,
                                                  drawn.points[p].name,
                                                  usual::lambda),
                                      3,
                                      row * (normal95 / usual::lambda)});
            }
        }
        if (read == points.end() ||
            !measured.engine[static_cast<std::size_t>(read - points.begin())].air_flow) {
            candidates.push_back(
                {fmt::format("air flow of the engine at {} (+/-2 %)", drawn.points[p].name),
                 3,
                 air_rows_.at(p) * (normal95 / usual::air_flow)});
        }
    }
    result.next = rank_next(fitted.covariance, candidates, targets);
    constexpr std::size_t most_shown = 8;
    result.next.resize(std::min(result.next.size(), most_shown));
    add_moved_sensors(result);
}

void FitReport::add_moved_sensors(FitResult& result) const {
    // Of one cylinder, as likely the one as the other within a factor of ten.
    constexpr double least = 0.05;
    const auto& unknowns = readings.unknowns();
    for (const auto& injector : odds.list) {
        if (injector.kind != FaultKind::injector || injector.probability < least) {
            continue;
        }
        const auto sensor = std::find_if(odds.list.begin(), odds.list.end(), [&](const auto& f) {
            return f.kind == FaultKind::sensor && f.cylinder == injector.cylinder &&
                   f.probability >= least;
        });
        const auto read = std::find_if(measured.engine.rbegin(),
                                       measured.engine.rend(),
                                       [&](const auto& e) { return e.lambda[injector.cylinder]; });
        if (sensor == odds.list.end() || read == measured.engine.rend()) {
            continue;
        }
        // What is left of the sensor's offset where it and the injector may both be at fault.
        VectorXd room = deviation;
        room[injector.unknown] = fault_injector;
        room[sensor->unknown] = fault_sensor;
        const MatrixXd covariance = posterior(fitted.jacobian, fitted.weights, room);
        const std::size_t other = injector.cylinder + 1 < unknowns.cylinders
                                      ? injector.cylinder + 1
                                      : injector.cylinder - 1;
        if (unknowns.cylinders < 2) {
            continue;
        }
        VectorXd row = VectorXd::Zero(unknowns.count());
        row[sensor->unknown] = 1;
        const Candidate moved{
            fmt::format("{} once more with the lambda sensors of cylinders {} and {} exchanged",
                        read->name,
                        std::min(injector.cylinder, other) + 1,
                        std::max(injector.cylinder, other) + 1),
            3,
            row * (normal95 / read->lambda_uncertainty)};
        auto found = rank_next(
            covariance, {moved}, {{row, fmt::format("sensor {}", injector.cylinder + 1)}});
        result.next.insert(result.next.begin(), found.begin(), found.end());
        return;
    }
}

void FitReport::add_taps(FitResult& result) const {
    std::vector<const PointResult*> seen;
    for (const std::size_t p : all_points_) {
        const PointResult& watched = model.watched(p);
        if (watched.converged) {
            seen.push_back(&watched);
        }
    }
    result.taps = choose_taps(made.c.intake, seen, result.units);
}

void FitReport::add_notes(FitResult& result) const {
    for (const auto& entry : result.entries) {
        if (entry.at_bound) {
            result.notes.push_back(entry.key +
                                   ": the fit ran into its bound: doubt the readings, "
                                   "or what the case takes as known");
        }
    }
    for (const auto& r : result.all_readings) {
        if (r.misfit) {
            result.notes.push_back(fmt::format(
                "{}: {:.1f} deviations off after the fit; it was weighed down, read it again",
                r.name,
                std::abs(r.residual)));
        }
    }
    std::size_t most = 0;
    for (const auto& e : measured.engine) {
        most = std::max(most, e.lambda_count());
    }
    if (most > 0 && most < readings.unknowns().cylinders) {
        result.notes.push_back(fmt::format(
            "{} of {} cylinders have a lambda sensor: the others are estimated, and their trims "
            "are kept rich by as much as they may be lean",
            most,
            readings.unknowns().cylinders));
    }
    if (!result.trims.empty()) {
        result.notes.emplace_back(
            "load half of a new trim, from low load and rich; stop where trims are smaller than "
            "their interval, and at once where a cylinder reads leaner than its interval says");
    }
}

FitResult FitReport::make() {
    FitResult result;
    result.title = drawn.title;
    result.case_digest = drawn.digest;
    result.units = drawn.units;
    result.measured_title = measured.title;
    result.made_up = measured.made_up;
    result.defaults = measured.defaults;
    result.warnings = measured.warnings;
    result.converged = fitted.converged;
    result.failure = fitted.failure;
    if (!fitted.converged) {
        result.summary = "the fit is not a result: " + fitted.failure;
        return result;
    }
    add_entries(result);
    add_readings(result);
    add_slot_cd(result);
    add_alike(result);
    add_joint(result);
    add_air(result);
    add_faults(result);
    add_splits(result);
    add_trims(result);
    add_next(result);
    add_taps(result);
    add_notes(result);
    result.solutions = model.solutions();
    std::vector<std::string> named_texts;
    for (const auto& f : result.faults) {
        if (f.named) {
            named_texts.push_back(f.text);
        }
    }
    result.summary = fmt::format(
        "{} readings; squared residuals {:.1f} before, {:.1f} after; {}{}",
        result.readings,
        result.sum_before,
        result.sum_after,
        named_texts.empty()
            ? std::string(measured.engine.empty() ? "no engine readings" : "no fault named")
            : fmt::format("{}", fmt::join(named_texts, "; ")),
        result.next.empty() ? "" : "; measure next: " + result.next.front().what);
    return result;
}

}  // namespace plenair::study

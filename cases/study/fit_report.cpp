#include "cases/study/fit_report.hpp"

#include "cases/study/bench_compare.hpp"
#include "cases/study/fit_air.hpp"
#include "cases/study/fit_candidates.hpp"
#include "cases/study/fit_cylinders.hpp"
#include "cases/study/percent.hpp"
#include "geometry/places.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>

namespace plenair::study {

using Eigen::Index;
using Eigen::VectorXd;

namespace {

/// A size of the slot is told as that of the first bank with one, from which all are moved.
std::string whose_size(const geometry::Intake& intake, const Entry& entry) {
    std::vector<std::size_t> with_slot;
    for (std::size_t b = 0; b < intake.banks.size(); ++b) {
        if (intake.banks[b].slot) {
            with_slot.push_back(b);
        }
    }
    if (entry.unit != "mm" || with_slot.size() < 2) {
        return "";
    }
    const auto first = geometry::bank_words(geometry::bank_name(intake, with_slot.front()));
    return first +
           (with_slot.size() > 2 ? "; the others move as much" : "; the other moves as much");
}

void add_entries(const FinishedFit& fit, FitResult& result) {
    for (std::size_t i = 0; i < fit.made.entries.size(); ++i) {
        const auto k = static_cast<Index>(i);
        const Entry& entry = fit.made.entries[i];
        const bool prior = std::isfinite(fit.deviation[k]);
        result.entries.push_back(
            {entry.key,
             whose_size(fit.made.c.intake, entry),
             entry.unit,
             entry.value,
             prior ? normal95 * fit.deviation[k] : 0.0,
             fit.fitted.x[k],
             std::min(normal95 * std::sqrt(std::max(fit.fitted.covariance(k, k), 0.0)),
                      entry.most - entry.least),
             fit.made.gauged[i],
             fit.fitted.at_bound[i]});
    }
}

void add_readings(const FinishedFit& fit, FitResult& result) {
    const auto& list = fit.readings.readings();
    for (std::size_t i = 0; i < list.size(); ++i) {
        const auto k = static_cast<Index>(i);
        const auto& r = list[i];
        FittedReading shown;
        shown.name = r.name;
        shown.unit = r.unit;
        shown.value = r.value;
        shown.half = normal95 * r.deviation;
        shown.before = r.value - fit.before[k] * r.deviation;
        shown.after = r.value - fit.fitted.residuals[k] * r.deviation;
        shown.residual = fit.fitted.residuals[k];
        shown.misfit = std::abs(fit.fitted.residuals[k]) > 3;
        result.all_readings.push_back(shown);
    }
    result.readings = static_cast<int>(list.size());
    result.sum_before = fit.before.squaredNorm();
    result.sum_after = fit.fitted.residuals.squaredNorm();
}

void add_slot_cd(const FinishedFit& fit, FitResult& result) {
    const auto read = std::find_if(fit.measured.bench.begin(),
                                   fit.measured.bench.end(),
                                   [](const auto& b) { return b.set_up == BenchSetUp::slot; });
    if (read == fit.measured.bench.end()) {
        return;
    }
    const auto entries = static_cast<Index>(fit.made.entries.size());
    const Moved v = fit.model.moved(fit.fitted.x.head(entries));
    // The width as fitted, without the coefficient that the widths of `v` also stand for.
    double wider = 1;
    for (Index i = 0; i < entries; ++i) {
        const Entry& entry = fit.made.entries[static_cast<std::size_t>(i)];
        wider = entry.key == "slot.width" ? fit.fitted.x[i] / entry.value : wider;
    }
    const auto flow_of = [&](std::size_t bank) -> std::optional<double> {
        if (read->bank.value_or(bank) == bank) {
            // Each reading's flow stands before its stations and taps.
            return fit.at_fit.bench[std::accumulate(
                fit.measured.bench.begin(),
                read,
                std::size_t{0},
                [](std::size_t sum, const BenchReading& b) { return sum + b.count(); })];
        }
        BenchReading there = *read;
        there.bank = bank;
        const BenchResult r = predict(v, there);
        return r.converged ? std::optional(r.flow) : std::nullopt;
    };
    for (std::size_t b = 0; b < fit.made.c.intake.banks.size(); ++b) {
        const auto& slot = fit.made.c.intake.banks[b].slot;
        const auto flow = slot ? flow_of(b) : std::nullopt;
        result.slot_cd.push_back(flow ? *flow / (slot->area() * wider * ideal_flux(*read)) : 0.0);
    }
}

void add_alike(const FinishedFit& fit, FitResult& result) {
    constexpr double alike_from = 0.7;
    const auto& cov = fit.fitted.covariance;
    for (std::size_t i = 0; i < fit.made.entries.size(); ++i) {
        for (std::size_t j = i + 1; j < fit.made.entries.size(); ++j) {
            const auto a = static_cast<Index>(i);
            const auto b = static_cast<Index>(j);
            const double norm = std::sqrt(cov(a, a) * cov(b, b));
            const double correlation = norm > 0 ? cov(a, b) / norm : 0.0;
            if (std::abs(correlation) < alike_from) {
                continue;
            }
            const auto gauge = [&](std::size_t e) {
                return fit.made.entries[e].unit == "mm" && !fit.made.gauged[e];
            };
            result.alike.push_back(
                fmt::format("{} and {} act alike on these readings (correlation {:+.2f}): {}",
                            fit.made.entries[i].key,
                            fit.made.entries[j].key,
                            correlation,
                            gauge(i) && gauge(j) ? "gauge one of them"
                            : gauge(i)           ? "gauge " + fit.made.entries[i].key
                            : gauge(j)           ? "gauge " + fit.made.entries[j].key
                                       : "only another kind of reading tells them apart"));
        }
    }
}

void add_joint(const FinishedFit& fit, FitResult& result) {
    for (std::size_t i = 0; i < fit.made.entries.size(); ++i) {
        const auto a = static_cast<Index>(i);
        result.joint.entries.push_back(fit.made.entries[i].key);
        result.joint.deviation.push_back(std::sqrt(std::max(fit.fitted.covariance(a, a), 0.0)));
        for (std::size_t j = 0; j < i; ++j) {
            const auto b = static_cast<Index>(j);
            const double norm = result.joint.deviation[i] * result.joint.deviation[j];
            result.joint.correlation.push_back(norm > 0 ? fit.fitted.covariance(a, b) / norm : 0.0);
        }
    }
}

void add_taps(const FinishedFit& fit, FitResult& result) {
    std::vector<const PointResult*> points;
    for (std::size_t p = 0; fit.drawn.has_engine && p < fit.drawn.points.size(); ++p) {
        const PointResult& watched = fit.model.watched(p);
        if (watched.converged) {
            points.push_back(&watched);
        }
    }
    result.taps = choose_taps(fit.made.c.intake, points, result.units);
}

/// Keys of assumed entries with a band of their own that the fit does not move.
std::vector<std::string> assumed_as_they_stand(const FinishedFit& fit) {
    std::vector<std::string> keys;
    for (const auto& assumption : fit.drawn.assumed) {
        const auto is_meant = [&](const auto& each) { return each.key == assumption.key; };
        const bool gauged = std::any_of(
            fit.measured.gauges.begin(), fit.measured.gauges.end(), [&](const auto& gauge) {
                return gauge.entry == assumption.key;
            });
        if (assumption.end && !gauged &&
            std::none_of(fit.made.entries.begin(), fit.made.entries.end(), is_meant)) {
            keys.push_back(assumption.key);
        }
    }
    return keys;
}

/// Cylinders of which an injector and a leak explain the readings about as well.
std::vector<std::size_t> injector_or_leak(const FinishedFit& fit) {
    std::vector<std::size_t> numbers;
    for (std::size_t c = 0; c < fit.readings.unknowns().cylinders; ++c) {
        if (fit.odds.possible(FaultKind::injector, c) && fit.odds.possible(FaultKind::leak, c)) {
            numbers.push_back(c + 1);
        }
    }
    return numbers;
}

void add_notes(const FinishedFit& fit, FitResult& result) {
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
    for (const auto& b : fit.measured.bench) {
        if (b.leaks()) {
            result.notes.push_back(
                fmt::format("bench {}: leakage of {:.1f} % counts as an uncertainty, for the seal "
                            "is measured as "
                            "much as the part; seal the set-up and read again",
                            b.name,
                            in_percent(b.leakage / b.flow_read)));
        }
    }
    std::size_t most = 0;
    for (const auto& e : fit.measured.engine) {
        most = std::max(most, e.lambda_count());
    }
    if (most > 0 && most < fit.readings.unknowns().cylinders) {
        result.notes.push_back(fmt::format(
            "{} of {} cylinders have a lambda sensor: the others are estimated, and their trims "
            "are kept rich by as much as they may be lean",
            most,
            fit.readings.unknowns().cylinders));
    }
    std::vector<int> either;
    for (const auto& trim : result.trims) {
        if (trim.either && std::find(either.begin(), either.end(), trim.cylinder) == either.end()) {
            either.push_back(trim.cylinder);
        }
    }
    if (!either.empty()) {
        result.notes.push_back(
            fmt::format("cylinder {}: injector and sensor are not told apart, so its trims are the "
                        "richer of the "
                        "two answers; exchange the sensors and read again before it gets less fuel",
                        fmt::join(either, ", ")));
    }
    if (const auto cylinders = injector_or_leak(fit); !cylinders.empty()) {
        result.notes.push_back(fmt::format(
            "cylinder {}: an injector and a leak behind the plenum act alike at plenum pressures "
            "like these; give the case a [[point]] of part throttle (throttle_angle) and read "
            "lambda there too: the leak changes with the pressure in the plenum, the injector does "
            "not",
            fmt::join(cylinders, ", ")));
    }
    if (const auto stands = assumed_as_they_stand(fit); !stands.empty()) {
        result.notes.push_back(fmt::format(
            "assumed entries are taken as they stand, {}: what they may be off is in no interval "
            "here; confirm them first",
            fmt::join(stands, ", ")));
    }
    if (!fit.measured.engine.empty()) {
        result.notes.emplace_back(
            "biases and trims here count what was learned of single cylinders (runner, port, "
            "leak), "
            "which no entry of a case can say: solve of the fitted case has equal cylinders");
    }
    if (!result.trims.empty()) {
        result.notes.emplace_back(
            "load half of a new trim, from low load and rich; stop where trims are smaller than "
            "their interval, and at once where a cylinder reads leaner than its interval says");
    }
}

}  // namespace

double FinishedFit::half(const VectorXd& row) const {
    return normal95 * std::sqrt(std::max(row.dot(fitted.covariance * row), 0.0));
}

FitResult report(const FinishedFit& fit) {
    FitResult result;
    result.title = fit.drawn.title;
    result.case_digest = fit.drawn.digest;
    result.units = fit.drawn.units;
    result.measured_title = fit.measured.title;
    result.made_up = fit.measured.made_up;
    result.defaults = fit.measured.defaults;
    result.warnings = fit.measured.warnings;
    result.converged = fit.fitted.converged;
    result.failure = fit.fitted.failure;
    if (!fit.fitted.converged) {
        result.summary = "the fit is not a result: " + fit.fitted.failure;
        return result;
    }
    add_entries(fit, result);
    add_readings(fit, result);
    add_slot_cd(fit, result);
    add_alike(fit, result);
    add_joint(fit, result);
    const AirRows rows = add_air(fit, result);
    add_faults(fit, result);
    add_splits(fit, result);
    add_trims(fit, rows, result);
    add_next(fit, rows, result);
    add_taps(fit, result);
    add_notes(fit, result);
    result.solutions = fit.model.solutions();
    std::vector<std::string> named_texts;
    for (const auto& f : result.faults) {
        if (f.named) {
            named_texts.push_back(f.text);
        }
    }
    result.summary = fmt::format(
        "{} {}; squared residuals {:.1f} before, {:.1f} after; {}{}",
        result.readings,
        result.readings == 1 ? "reading" : "readings",
        result.sum_before,
        result.sum_after,
        named_texts.empty()
            ? std::string(fit.measured.engine.empty() ? "no engine readings" : "no fault named")
            : fmt::format("{}", fmt::join(named_texts, "; ")),
        result.next.empty() ? "" : "; measure next: " + result.next.front().what);
    return result;
}

}  // namespace plenair::study

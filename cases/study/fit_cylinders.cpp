#include "cases/study/fit_cylinders.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>

namespace plenair::study {

using Eigen::Index;
using Eigen::VectorXd;

namespace {

std::string fault_text(const FinishedFit& fit, const FaultCandidate& fault, double size) {
    if (fault.kind == FaultKind::reading) {
        const auto& r = fit.readings.readings()[static_cast<std::size_t>(fault.reading)];
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

}  // namespace

void add_faults(const FinishedFit& fit, FitResult& result) {
    result.no_fault = fit.odds.none;
    for (const auto& candidate : fit.odds.list) {
        if (candidate.probability < 0.01 || result.faults.size() >= 8) {
            break;
        }
        Fault fault;
        fault.kind = candidate.kind;
        fault.cylinder = static_cast<int>(candidate.cylinder) + 1;
        fault.probability = candidate.probability;
        fault.named = std::any_of(fit.named.begin(), fit.named.end(), [&](const FaultCandidate& n) {
            return n.kind == candidate.kind && n.unknown == candidate.unknown &&
                   n.reading == candidate.reading;
        });
        fault.size = fault.named && candidate.unknown >= 0 ? fit.fitted.x[candidate.unknown]
                                                           : candidate.size;
        fault.text = fault_text(fit, candidate, fault.size);
        result.faults.push_back(fault);
    }
    for (const auto& n : fit.named) {
        const bool there =
            std::any_of(result.faults.begin(), result.faults.end(), [&](const Fault& f) {
                return f.named && f.kind == n.kind &&
                       f.cylinder == static_cast<int>(n.cylinder) + 1;
            });
        if (!there) {
            const double size = n.unknown >= 0 ? fit.fitted.x[n.unknown] : 0.0;
            result.faults.push_back({n.kind,
                                     static_cast<int>(n.cylinder) + 1,
                                     n.probability,
                                     size,
                                     fault_text(fit, n, size),
                                     true});
        }
    }
}

void add_splits(const FinishedFit& fit, FitResult& result) {
    const auto& unknowns = fit.readings.unknowns();
    for (std::size_t c = 0; c < unknowns.cylinders; ++c) {
        LambdaSplit split;
        split.cylinder = static_cast<int>(c) + 1;
        double count = 0;
        double level = 0;
        const auto& list = fit.readings.readings();
        for (std::size_t i = 0; i < list.size(); ++i) {
            const auto& r = list[i];
            if (r.kind != ReadingKind::lambda || r.cylinder != c) {
                continue;
            }
            const auto k = static_cast<Index>(i);
            // Against the drawing with the mixture of all cylinders as fitted.
            const double predicted =
                (r.value - fit.before[k] * r.deviation) * fit.fitted.x[unknowns.mixture(r.index)];
            split.excess += r.value - predicted;
            split.unexplained += fit.fitted.residuals[k] * r.deviation;
            level += r.value;
            ++count;
        }
        split.measured = count > 0;
        if (split.measured) {
            split.excess /= count;
            split.unexplained /= count;
            level /= count;
            split.injector = -level * fit.fitted.x[unknowns.quirk(Quirk::injector, c)];
            split.sensor = fit.fitted.x[unknowns.quirk(Quirk::sensor, c)];
            split.air = split.excess - split.injector - split.sensor - split.unexplained;
        }
        for (const auto& f : fit.odds.list) {
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

/// An injector that may be at fault where the sensor of its cylinder may be as well.
struct Doubt {
    double sensor = 0;  ///< probability of the sensor, of the two
    double injector = 0;  ///< flow of the injector over the mean - 1, were it the one
};

std::optional<Doubt> injector_or_sensor(const FinishedFit& fit, std::size_t cylinder) {
    constexpr double least = 0.05;
    double injector = 0;
    double sensor = 0;
    double size = 0;
    for (const auto& f : fit.odds.list) {
        if (f.cylinder == cylinder && f.kind == FaultKind::injector) {
            injector += f.probability;
            size = f.size;
        } else if (f.cylinder == cylinder && f.kind == FaultKind::sensor) {
            sensor += f.probability;
        }
    }
    if (injector < least || sensor < least) {
        return std::nullopt;
    }
    return Doubt{sensor / (injector + sensor), size};
}

void add_trims(const FinishedFit& fit, const AirRows& rows, FitResult& result) {
    const auto& unknowns = fit.readings.unknowns();
    for (std::size_t p = 0; p < fit.measured.engine.size(); ++p) {
        const auto& e = fit.measured.engine[p];
        const auto bias = rows.bias.find(e.point);
        // A second reading of a point, with sensors moved, is of the same trims.
        const bool again =
            std::find(fit.points.begin(), fit.points.begin() + static_cast<Index>(p), e.point) !=
            fit.points.begin() + static_cast<Index>(p);
        if (e.lambda_count() == 0 || bias == rows.bias.end() || again) {
            continue;
        }
        const double target = fit.drawn.points[e.point].combustion.lambda;
        std::vector<FittedTrim> at_point;
        double mean = 0;
        for (std::size_t c = 0; c < unknowns.cylinders; ++c) {
            FittedTrim trim;
            trim.point = e.name;
            trim.cylinder = static_cast<int>(c) + 1;
            trim.measured = e.lambda[c].has_value();
            trim.lambda = fit.readings.lambda(fit.fitted.x, fit.at_fit, p, c);
            VectorXd row = bias->second.row(static_cast<Index>(c)) * trim.lambda;
            row[unknowns.quirk(Quirk::injector, c)] -= trim.lambda;
            row[unknowns.mixture(p)] += trim.lambda / fit.fitted.x[unknowns.mixture(p)];
            trim.lambda_half = fit.half(row);
            trim.half = trim.lambda_half / target;
            trim.trim = (1 + e.trims[c]) * trim.lambda / target - 1;
            mean += trim.trim / static_cast<double>(unknowns.cylinders);
            if (const auto doubt = injector_or_sensor(fit, c)) {
                // The richer of the two answers, and an interval that holds both.
                const double none = trim.trim + fit.fitted.x[unknowns.quirk(Quirk::injector, c)];
                trim.trim = none + std::max(-doubt->injector, 0.0);
                trim.half = std::hypot(
                    trim.half,
                    normal95 * std::sqrt(doubt->sensor * (1 - doubt->sensor)) * doubt->injector);
                trim.either = true;
            }
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

}  // namespace plenair::study

#include "cases/study/fit_candidates.hpp"

#include "cases/study/fit_next.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <vector>

namespace plenair::study {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

VectorXd unit_row(const FinishedFit& fit, Index k, double scale) {
    VectorXd row = VectorXd::Zero(fit.readings.unknowns().count());
    row[k] = scale;
    return row;
}

/// Gauges of sizes not gauged yet, and entries that others act like.
void add_entries_next(const FinishedFit& fit,
                      const geometry::OutputUnits& units,
                      std::vector<Candidate>& candidates,
                      std::vector<Target>& targets) {
    const MatrixXd& covariance = fit.fitted.covariance;
    for (std::size_t i = 0; i < fit.made.entries.size(); ++i) {
        const Entry& entry = fit.made.entries[i];
        const auto k = static_cast<Index>(i);
        if (entry.unit == "mm" && !fit.made.gauged[i]) {
            const auto* instrument = entry.key == "slot.edge_radius" ? "radius gauge"
                                     : entry.key == "slot.width"     ? "pin gauge"
                                                                     : "micrometer";
            const double sigma = usual::gauge(instrument).value_or(1e-4) / normal95;
            candidates.push_back({fmt::format("gauge {} ({}, +/-{})",
                                              entry.label,
                                              instrument,
                                              geometry::format_limit(normal95 * sigma, units, 2)),
                                  1,
                                  unit_row(fit, k, 1 / sigma).transpose()});
        }
        for (std::size_t j = 0; j < fit.made.entries.size() && entry.unit != "mm"; ++j) {
            const auto b = static_cast<Index>(j);
            const double norm = std::sqrt(covariance(k, k) * covariance(b, b));
            if (i != j && norm > 0 && std::abs(covariance(k, b)) > 0.3 * norm) {
                targets.push_back({unit_row(fit, k, 1.0), entry.key});
                break;
            }
        }
    }
}

/// Derivatives of the lambda of a cylinder at a point by all but the mixture of all cylinders
/// there.
VectorXd lambda_row(const FinishedFit& fit,
                    const AirRows& rows,
                    std::size_t p,
                    std::size_t cylinder,
                    std::size_t sensor) {
    const auto& unknowns = fit.readings.unknowns();
    const double target = fit.drawn.points[p].combustion.lambda;
    VectorXd row = rows.bias.at(p).row(static_cast<Index>(cylinder)) * target;
    row[unknowns.quirk(Quirk::injector, cylinder)] -= target;
    row[unknowns.quirk(Quirk::sensor, sensor)] += 1;
    return row;
}

/// Lambda at a point that was not read, of the cylinders that have a sensor, or of all where none
/// has. The mixture there is one more unknown, as usual as that of the points read: what it adds to
/// all alike is taken out of the rows, which are independent then.
Candidate lambda_elsewhere(const FinishedFit& fit, const AirRows& rows, std::size_t p) {
    const std::size_t cylinders = fit.readings.unknowns().cylinders;
    std::vector<std::size_t> with_sensor;
    for (std::size_t c = 0; c < cylinders; ++c) {
        if (std::any_of(fit.measured.engine.begin(), fit.measured.engine.end(), [c](const auto& e) {
                return c < e.lambda.size() && e.lambda[c];
            })) {
            with_sensor.push_back(c);
        }
    }
    const bool fitted = !with_sensor.empty();
    for (std::size_t c = 0; c < cylinders && !fitted; ++c) {
        with_sensor.push_back(c);
    }
    const auto count = static_cast<Index>(with_sensor.size());
    MatrixXd h(count, fit.readings.unknowns().count());
    for (Index i = 0; i < count; ++i) {
        const std::size_t c = with_sensor[static_cast<std::size_t>(i)];
        h.row(i) = lambda_row(fit, rows, p, c, c) * (normal95 / usual::lambda);
    }
    const double mixture = fit.drawn.points[p].combustion.lambda * usual_mixture / usual::lambda;
    const double all = static_cast<double>(count) * mixture * mixture;
    const VectorXd ones = VectorXd::Ones(count);
    h -=
        ones * (ones.transpose() * h) * ((1 - 1 / std::sqrt(1 + all)) / static_cast<double>(count));
    return {fmt::format(
                "lambda of {} at {} (+/-{} each)",
                with_sensor.size() == cylinders ? "all cylinders" : "the cylinders with a sensor",
                fit.drawn.points[p].name,
                usual::lambda),
            fitted ? 3.0 : 6.0,
            h};
}

/// Lambda and air flow, where they were not read.
void add_point_next(const FinishedFit& fit,
                    const AirRows& rows,
                    std::size_t p,
                    std::vector<Candidate>& candidates) {
    const auto& unknowns = fit.readings.unknowns();
    const auto& name = fit.drawn.points[p].name;
    const auto read = std::find(fit.points.begin(), fit.points.end(), p);
    const auto at = static_cast<std::size_t>(read - fit.points.begin());
    const bool was_read = read != fit.points.end();
    if (!was_read && unknowns.cylinders > 1) {
        candidates.push_back(lambda_elsewhere(fit, rows, p));
    }
    for (std::size_t c = 0; was_read && c < unknowns.cylinders; ++c) {
        const auto& reading = fit.measured.engine[at];
        if (c < reading.lambda.size() && reading.lambda[c]) {
            continue;
        }
        VectorXd row = lambda_row(fit, rows, p, c, reading.sensor_of(c));
        row[unknowns.mixture(at)] += fit.drawn.points[p].combustion.lambda;
        candidates.push_back(
            {fmt::format("lambda of cylinder {} at {} (+/-{})", c + 1, name, usual::lambda),
             3,
             row.transpose() * (normal95 / usual::lambda)});
    }
    if (!was_read || !fit.measured.engine[at].air_flow) {
        candidates.push_back({fmt::format("air flow of the engine at {} (+/-2 %)", name),
                              3,
                              rows.flow.at(p).transpose() * (normal95 / usual::air_flow)});
    }
}

/// The nearest cylinder that has a lambda sensor too; none where no other has.
std::optional<std::size_t> other_sensor(const EngineReading& reading, std::size_t cylinder) {
    std::optional<std::size_t> nearest;
    const auto distance = [cylinder](std::size_t c) {
        return c > cylinder ? c - cylinder : cylinder - c;
    };
    for (std::size_t c = 0; c < reading.lambda.size(); ++c) {
        if (c != cylinder && reading.lambda[c] && (!nearest || distance(c) <= distance(*nearest))) {
            nearest = c;
        }
    }
    return nearest;
}

/// Moving lambda sensors, where an injector and a sensor cannot be told apart.
void add_moved_sensors(const FinishedFit& fit, FitResult& result) {
    const auto& unknowns = fit.readings.unknowns();
    for (const auto& injector : fit.odds.list) {
        if (injector.kind != FaultKind::injector || injector.probability < possible_fault) {
            continue;
        }
        const FaultCandidate* sensor = fit.odds.possible(FaultKind::sensor, injector.cylinder);
        const auto read = std::find_if(fit.measured.engine.rbegin(),
                                       fit.measured.engine.rend(),
                                       [&](const auto& e) { return e.lambda[injector.cylinder]; });
        if (sensor == nullptr || read == fit.measured.engine.rend()) {
            continue;
        }
        // What is left of the sensor's offset where it and the injector may both be at fault.
        VectorXd room = fit.deviation;
        room[injector.unknown] = fault_injector;
        room[sensor->unknown] = fault_sensor;
        const MatrixXd covariance = posterior(fit.fitted.jacobian, fit.fitted.weights, room);
        const auto other = other_sensor(*read, injector.cylinder);
        if (!other) {
            continue;
        }
        VectorXd row = VectorXd::Zero(unknowns.count());
        row[sensor->unknown] = 1;
        const Candidate moved{
            fmt::format("{} once more with the lambda sensors of cylinders {} and {} exchanged",
                        read->name,
                        std::min(injector.cylinder, *other) + 1,
                        std::max(injector.cylinder, *other) + 1),
            3,
            row.transpose() * (normal95 / read->lambda_uncertainty)};
        auto found = rank_next(
            covariance, {moved}, {{row, fmt::format("sensor {}", injector.cylinder + 1)}});
        result.next.insert(result.next.begin(), found.begin(), found.end());
        return;
    }
}

}  // namespace

void add_next(const FinishedFit& fit, const AirRows& rows, FitResult& result) {
    std::vector<Candidate> candidates;
    std::vector<Target> targets;
    add_entries_next(fit, result.units, candidates, targets);
    for (const auto& [p, bias] : rows.bias) {
        const auto& at_fit = fit.at_fit.points.at(p).bias;
        const Index low = std::min_element(at_fit.begin(), at_fit.end()) - at_fit.begin();
        const Index high = std::max_element(at_fit.begin(), at_fit.end()) - at_fit.begin();
        targets.push_back({bias.row(high) - bias.row(low), ""});
        add_point_next(fit, rows, p, candidates);
    }
    result.next = rank_next(fit.fitted.covariance, candidates, targets);
    constexpr std::size_t most_shown = 8;
    result.next.resize(std::min(result.next.size(), most_shown));
    add_moved_sensors(fit, result);
}

}  // namespace plenair::study

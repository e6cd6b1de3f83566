#include "cases/study/fit_readings.hpp"

#include "cases/study/bench_repeats.hpp"
#include "geometry/places.hpp"
#include "geometry/profile.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace plenair::study {

using Eigen::VectorXd;

namespace {

/// What a leak between mouth and valve passes over the air of the cylinder, but for a factor; in
/// where the plenum is below the air outside, out where it is above.
double leak_flow(const Case& c, const OperatingPoint& point, double inside) {
    const double upstream = std::max(inside, c.barometer);
    const double difference = c.barometer - inside;
    constexpr double any_gas = 287;  // only ratios between points count
    return std::copysign(ideal_flux(upstream, point.temperature, any_gas, std::abs(difference)) /
                             (inside * point.speed),
                         difference);
}

/// Of the case as made: what the unknowns change moves all places alike.
double tap_offset(const Case& c, const EngineReading& reading, const PointEffects& effects) {
    if (!reading.tap) {
        return 0;
    }
    const std::string bank = geometry::bank_name(c.intake, reading.tap_bank);
    const std::string part = geometry::chamber_name(bank, geometry::ChamberKind::plenum);
    for (const auto& profile : effects.pressures) {
        if (profile.part == part) {
            return geometry::Profile::stations(profile.x, profile.mean).at(*reading.tap) -
                   effects.plenum_pressure;
        }
    }
    return 0;
}

}  // namespace

ReadingModel::ReadingModel(const AsMade& made,
                           const Measured& measured,
                           const std::vector<PointEffects>& effects)
    : made_(made), measured_(measured) {
    unknowns_.entries = made.entries.size();
    unknowns_.points = measured.engine.size();
    unknowns_.cylinders =
        measured.engine.empty() ? 0 : static_cast<std::size_t>(made.c.engine.cylinder_count());
    for (std::size_t r = 0; r < unknowns_.cylinders; ++r) {
        double most = 0;
        for (const auto& at_point : effects) {
            const double own = at_point.runner[r][r];
            most = std::abs(own) > std::abs(most) ? own : most;
        }
        runner_scale_.push_back(std::abs(most) > 1e-6 ? 1 / most : 0.0);
    }
    for (std::size_t p = 0; p < effects.size(); ++p) {
        worst_leak_ = std::max(
            worst_leak_, std::abs(leak_flow(made.c, made.c.points[p], effects[p].plenum_pressure)));
    }
    for (const auto& e : measured.engine) {
        acts_.push_back(acts(e.point, effects[e.point]));
        tap_offset_.push_back(tap_offset(made.c, e, effects[e.point]));
    }
    add_readings();
    set_priors();
}

QuirkActs ReadingModel::acts(std::size_t point, const PointEffects& effects) const {
    QuirkActs acts{effects.runner, 0};
    for (std::size_t r = 0; r < unknowns_.cylinders; ++r) {
        for (double& effect : acts.runner[r]) {
            effect *= runner_scale_[r];
        }
        if (acts.runner[r][r] == 0) {
            acts.runner[r][r] = 1;
        }
    }
    const double flow = leak_flow(made_.c, made_.c.points[point], effects.plenum_pressure);
    acts.leak = worst_leak_ > 0 ? flow / worst_leak_ : 0;
    return acts;
}

void ReadingModel::add_bench_readings() {
    std::size_t index = 0;
    const auto add = [&](const std::string& name, const char* unit, double value, double half) {
        readings_.push_back({ReadingKind::bench, index++, 0, name, unit, value, half / normal95});
        return &readings_.back();
    };
    std::vector<double> weakened(measured_.bench.size());
    for (const auto& group : bench_repeats(measured_.bench)) {
        for (const std::size_t i : group) {
            weakened[i] = std::sqrt(static_cast<double>(group.size()));
        }
    }
    for (std::size_t k = 0; k < measured_.bench.size(); ++k) {
        const auto& b = measured_.bench[k];
        const std::string name = "bench " + b.name;
        const auto at = [&](double x) {
            return " x " + geometry::format_as(x, "mm", 1, made_.c.units);
        };
        // A leakage that rules the reading is known no better than itself.
        const double half =
            b.leaks() ? std::hypot(b.uncertainty, b.leakage / b.flow()) : b.uncertainty;
        add(name, "g/s", b.flow(), weakened[k] * half * b.flow())->positive = true;
        for (std::size_t i = 0; i < b.station_x.size(); ++i) {
            add(name + at(b.station_x[i]), "", b.station_flow[i], b.station_uncertainty);
        }
        for (std::size_t i = 0; i < b.tap_x.size(); ++i) {
            add(name + " tap" + at(b.tap_x[i]), "Pa", b.tap_drop[i], b.tap_uncertainty);
        }
    }
}

void ReadingModel::add_readings() {
    add_bench_readings();
    for (std::size_t i = 0; i < measured_.engine.size(); ++i) {
        const auto& e = measured_.engine[i];
        bool rich =
            e.lambda_count() > 0 || made_.c.points[e.point].combustion.lambda < exhaust_peak;
        for (std::size_t k = 0; k < e.lambda.size(); ++k) {
            if (e.lambda[k]) {
                rich = rich && *e.lambda[k] < exhaust_peak;
                readings_.push_back({ReadingKind::lambda,
                                     i,
                                     k,
                                     fmt::format("{} lambda {}", e.name, k + 1),
                                     "",
                                     *e.lambda[k],
                                     e.lambda_uncertainty / normal95});
            }
        }
        // Beyond the peak the sign is not known: temperatures then say nothing.
        for (std::size_t k = 0; k < e.exhaust_temperature.size() && rich; ++k) {
            if (e.exhaust_temperature[k]) {
                readings_.push_back(
                    {ReadingKind::exhaust,
                     i,
                     k,
                     fmt::format("{} exhaust {}", e.name, k + 1),
                     "degC",
                     *e.exhaust_temperature[k],
                     std::hypot(e.temperature_uncertainty / normal95, exhaust_scatter)});
            }
        }
        if (e.air_flow) {
            readings_.push_back({ReadingKind::air_flow,
                                 i,
                                 0,
                                 e.name + " air flow",
                                 "g/s",
                                 *e.air_flow,
                                 e.air_flow_uncertainty * *e.air_flow / normal95,
                                 true});
        }
        if (e.plenum_pressure) {
            readings_.push_back({ReadingKind::plenum_pressure,
                                 i,
                                 0,
                                 e.name + " plenum pressure",
                                 "kPa",
                                 *e.plenum_pressure,
                                 e.pressure_uncertainty * *e.plenum_pressure / normal95,
                                 true});
        }
    }
}

void ReadingModel::set_priors() {
    prior_ = VectorXd::Zero(unknowns_.count());
    deviation_ = VectorXd::Ones(unknowns_.count());
    for (std::size_t i = 0; i < unknowns_.entries; ++i) {
        const auto k = static_cast<Eigen::Index>(i);
        prior_[k] = made_.entries[i].value;
        deviation_[k] = std::max(made_.entries[i].deviation(), 1e-12);
    }
    for (std::size_t c = 0; c < unknowns_.cylinders; ++c) {
        deviation_[unknowns_.quirk(Quirk::runner, c)] = usual_runner / normal95;
        deviation_[unknowns_.quirk(Quirk::injector, c)] = usual_injector / normal95;
        deviation_[unknowns_.quirk(Quirk::sensor, c)] = usual_sensor / normal95;
        deviation_[unknowns_.quirk(Quirk::leak, c)] = usual_leak / normal95;
        if (measured_.injectors) {
            prior_[unknowns_.quirk(Quirk::injector, c)] = measured_.injectors->flow[c] - 1;
            deviation_[unknowns_.quirk(Quirk::injector, c)] =
                measured_.injectors->uncertainty / normal95;
        }
    }
    for (std::size_t p = 0; p < unknowns_.points; ++p) {
        prior_[unknowns_.mixture(p)] = 1.0;
        deviation_[unknowns_.mixture(p)] = usual_mixture / normal95;
        double sum = 0;
        double count = 0;
        for (const auto& t : measured_.engine[p].exhaust_temperature) {
            sum += t.value_or(0);
            count += t ? 1 : 0;
        }
        prior_[unknowns_.temperature(p)] = count > 0 ? sum / count : 1000;
        deviation_[unknowns_.temperature(p)] = 100;
    }
    step_ = 0.5 * deviation_;
}

double ReadingModel::air(const VectorXd& x,
                         const Answer& answer,
                         std::size_t reading,
                         std::size_t cylinder) const {
    double bias = answer.points.at(measured_.engine[reading].point).bias[cylinder];
    for (std::size_t r = 0; r < unknowns_.cylinders; ++r) {
        bias += x[unknowns_.quirk(Quirk::runner, r)] * acts_[reading].runner[r][cylinder];
    }
    return bias + x[unknowns_.quirk(Quirk::leak, cylinder)] * acts_[reading].leak;
}

double ReadingModel::lambda(const VectorXd& x,
                            const Answer& answer,
                            std::size_t reading,
                            std::size_t cylinder) const {
    const auto& e = measured_.engine[reading];
    const double target = made_.c.points[e.point].combustion.lambda;
    const double fuel =
        (1 + e.trims[cylinder]) * (1 + x[unknowns_.quirk(Quirk::injector, cylinder)]);
    return x[unknowns_.mixture(reading)] * target * (1 + air(x, answer, reading, cylinder)) / fuel;
}

VectorXd ReadingModel::predict(const VectorXd& x, const Answer& answer) const {
    VectorXd out(static_cast<Eigen::Index>(readings_.size()));
    for (std::size_t k = 0; k < readings_.size(); ++k) {
        const Reading& r = readings_[k];
        double value = 0;
        if (r.kind == ReadingKind::bench) {
            value = answer.bench[r.index];
        } else {
            const auto& e = measured_.engine[r.index];
            const auto& at = answer.points.at(e.point);
            const double target = made_.c.points[e.point].combustion.lambda;
            switch (r.kind) {
                case ReadingKind::lambda:
                    value = lambda(x, answer, r.index, r.cylinder) +
                            x[unknowns_.quirk(Quirk::sensor, e.sensor_of(r.cylinder))];
                    break;
                case ReadingKind::exhaust:
                    value = x[unknowns_.temperature(r.index)] +
                            exhaust_slope * (lambda(x, answer, r.index, r.cylinder) -
                                             x[unknowns_.mixture(r.index)] * target);
                    break;
                case ReadingKind::air_flow:
                    value = at.air_flow;
                    break;
                default:
                    value = at.plenum_pressure + tap_offset_[r.index];
                    break;
            }
        }
        out[static_cast<Eigen::Index>(k)] = value;
    }
    return out;
}

VectorXd ReadingModel::residuals(const VectorXd& x, const Answer& answer) const {
    const auto count = static_cast<Eigen::Index>(readings_.size());
    VectorXd r = predict(x, answer);
    for (Eigen::Index k = 0; k < count; ++k) {
        const Reading& reading = readings_[static_cast<std::size_t>(k)];
        r[k] = (reading.value - r[k]) / reading.deviation;
    }
    return r;
}

}  // namespace plenair::study

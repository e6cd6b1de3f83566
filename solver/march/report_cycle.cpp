#include "solver/march/report_cycle.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace plenair {

void ReportCycle::fill(std::vector<double> state,
                       const std::vector<int>& trapped_steps,
                       bool traces,
                       PointResult& result) {
    const auto cells = static_cast<std::size_t>(n_.layout.cells);
    mean_.assign(cells, 0.0);
    low_.assign(cells, std::numeric_limits<double>::max());
    high_.assign(cells, 0.0);
    mouth_peak_.assign(n_.mouths.size(), 0.0);
    rate_.assign(static_cast<std::size_t>(n_.layout.size()), 0.0);
    if (traces) {
        name_traces(result);
    }
    RightHandSide observer(n_);
    CycleMap map(n_);
    const auto look = [&](int k, double time, const std::vector<double>& s) {
        const double h = n_.crank.step[static_cast<std::size_t>(k)];
        observer.begin_step(k, time, h);
        observer.observe(s, rate_, time, seen_);
        watch(h);
        if (traces) {
            add_trace_sample(time, result);
        }
    };
    map.march(state, trapped_steps, look);
    fill_cylinders(state, map, result);
    fill_losses(state, result);
    fill_profiles(state, result);
}

void ReportCycle::watch(double step) {
    const double weight = step * point_.speed / (4.0 * std::numbers::pi);
    for (std::size_t i = 0; i < mean_.size(); ++i) {
        const double p = seen_.pressure[i];
        mean_[i] += weight * p;
        low_[i] = std::min(low_[i], p);
        high_[i] = std::max(high_[i], p);
    }
    for (std::size_t i = 0; i < mouth_peak_.size(); ++i) {
        mouth_peak_[i] = std::max(mouth_peak_[i], seen_.mouth_velocity[i]);
    }
    for (std::size_t i = 0; i < n_.passages.size(); ++i) {
        if (n_.passages[i].slot) {
            slot_mach_ = std::max(slot_mach_, seen_.passage_mach[i]);
        }
    }
}

void ReportCycle::fill_cylinders(const std::vector<double>& state,
                                 const CycleMap& map,
                                 PointResult& result) const {
    const Layout& at = n_.layout;
    double trapped = 0.0;
    double delivered = 0.0;
    result.cylinders.clear();
    for (int c = 0; c < at.cylinders; ++c) {
        const auto i = static_cast<std::size_t>(c);
        CylinderResult r;
        r.cylinder = c + 1;
        r.firing_position = engine_.firing_position(c + 1);
        r.air_trapped = map.trapped[i] * n_.gas.dry_air;
        r.residual_fraction = 1.0 - map.trapped[i] / map.trapped_mass[i];
        for (std::size_t v = 0; v < n_.valves.size(); ++v) {
            if (n_.valves[v].cylinder == c) {
                r.air_delivered =
                    state[static_cast<std::size_t>(at.delivered_fresh()) + v] * n_.gas.dry_air;
                if (v < mouth_peak_.size()) {
                    r.mouth_velocity_peak = mouth_peak_[v];
                }
            }
        }
        trapped += r.air_trapped;
        delivered += r.air_delivered;
        result.cylinders.push_back(r);
    }
    double least = std::numeric_limits<double>::max();
    double most = std::numeric_limits<double>::lowest();
    for (auto& r : result.cylinders) {
        r.share = r.air_trapped / trapped;
        r.bias = r.share * at.cylinders - 1.0;
        least = std::min(least, r.bias);
        most = std::max(most, r.bias);
    }
    result.spread = most - least;
    result.end_bias = result.cylinders.back().bias - result.cylinders.front().bias;
    const double cycle_time = 4.0 * std::numbers::pi / point_.speed;
    result.air_flow = state[static_cast<std::size_t>(at.total(Layout::source_fresh))] *
                      n_.gas.dry_air / cycle_time;
    const double density = n_.source.pressure / n_.source.rt * n_.gas.dry_air;
    result.volumetric_efficiency = delivered / (density * engine_.swept_volume() * at.cylinders);
}

void ReportCycle::fill_losses(const std::vector<double>& state, PointResult& result) const {
    const Layout& at = n_.layout;
    const auto total = [&](Layout::Total w) {
        return state[static_cast<std::size_t>(at.total(w))];
    };
    const auto ratio = [](double a, double b) { return b > 0.0 ? a / b : 0.0; };
    result.throttle_loss = ratio(total(Layout::throttle_loss), total(Layout::source_mass));
    result.slot_loss = ratio(total(Layout::slot_loss), total(Layout::slot_flow));
    result.mouth_loss = ratio(total(Layout::mouth_loss), total(Layout::mouth_flow));
    result.port_loss = ratio(total(Layout::mouth_total), total(Layout::mouth_flow)) -
                       ratio(total(Layout::port_total), total(Layout::port_flow));
    result.slot_mach = slot_mach_;
    double slot_area = 0.0;
    double feed_area = 0.0;
    for (const Passage& p : n_.passages) {
        if (p.slot) {
            const double cd2 =
                n_.discharges[static_cast<std::size_t>(p.discharge)].cd_squared(0.0, 5.0e4);
            slot_area += std::sqrt(cd2) * p.area;
        } else if (p.source) {
            feed_area += p.area;
        }
    }
    for (const Chain& chain : n_.chains) {
        feed_area += chain.start_effective_area + chain.end_effective_area;
    }
    result.slot_to_throttle = slot_area > 0.0 ? ratio(slot_area, feed_area) : 0.0;
    // Flow at this Mach number over choked flow through the same area.
    const double g = n_.gas.gamma;
    const double m = std::min(slot_mach_, 1.0);
    const double power = (g + 1.0) / (2.0 * (g - 1.0));
    const double fraction =
        m * std::pow((g + 1.0) / 2.0, power) / std::pow(1.0 + 0.5 * (g - 1.0) * m * m, power);
    result.choke_margin = slot_area > 0.0 ? 1.0 - fraction : 0.0;
    // Taylor: Z = Ap Sp/(mean effective valve area while it is open x a); table Cd on curtain area
    // included.
    double area = 0.0;
    double open = 0.0;
    for (std::size_t k = 0; k < n_.crank.step.size(); ++k) {
        const std::size_t j = 2 * k * static_cast<std::size_t>(at.cylinders);
        area += n_.crank.intake[j] * n_.crank.step[k];
        open += n_.crank.intake[j] > 0.0 ? n_.crank.step[k] : 0.0;
    }
    const double piston = 0.25 * std::numbers::pi * engine_.bore * engine_.bore;
    const double speed = engine_.stroke * point_.speed / std::numbers::pi;
    result.inlet_mach_index = piston * speed / (ratio(area, open) * std::sqrt(g * n_.source.rt));
}

void ReportCycle::fill_profiles(const std::vector<double>& state, PointResult& result) const {
    for (const Chain& chain : n_.chains) {
        if (chain.end == EndKind::valve) {
            continue;
        }
        PressureProfile profile;
        profile.part = chain.name;
        for (int i = 0; i < chain.count; ++i) {
            const auto c = static_cast<std::size_t>(chain.first + i);
            profile.x.push_back(chain.x0 + (i + 0.5) * chain.dx);
            profile.mean.push_back(mean_[c]);
            profile.low.push_back(low_[c]);
            profile.high.push_back(high_[c]);
        }
        result.pressures.push_back(profile);
    }
    SlotProfile slot;
    const double cycle_time = 4.0 * std::numbers::pi / point_.speed;
    for (std::size_t i = 0; i < n_.passages.size(); ++i) {
        const Passage& p = n_.passages[i];
        if (p.slot) {
            slot.x.push_back(p.x);
            slot.flow_per_length.push_back(
                state[static_cast<std::size_t>(n_.layout.passage_mass()) + i] / cycle_time /
                p.length);
        }
    }
    if (!slot.x.empty()) {
        result.slots.push_back(slot);
    }
}

void ReportCycle::name_traces(PointResult& result) const {
    result.crank_angle.clear();
    result.traces.clear();
    for (std::size_t i = 0; i < n_.mouths.size(); ++i) {
        result.traces.push_back({"runner_mouth_velocity", n_.valves[i].cylinder + 1, "m/s", {}});
    }
    for (const auto& valve : n_.valves) {
        result.traces.push_back({"intake_valve_flow", valve.cylinder + 1, "kg/s", {}});
    }
    for (const Chain& chain : n_.chains) {
        if (chain.end != EndKind::valve) {
            for (const char* where : {"_pressure_start", "_pressure_middle", "_pressure_end"}) {
                std::string name = chain.name + where;
                std::replace(name.begin(), name.end(), ' ', '_');
                std::replace(name.begin(), name.end(), '-', '_');
                result.traces.push_back({name, 0, "Pa", {}});
            }
        }
    }
    result.traces.push_back({"throttle_flow", 0, "kg/s", {}});
}

void ReportCycle::add_trace_sample(double time, PointResult& result) const {
    result.crank_angle.push_back(n_.crank.start_angle + time * point_.speed);
    std::size_t t = 0;
    for (const double v : seen_.mouth_velocity) {
        result.traces[t++].value.push_back(v);
    }
    for (const double v : seen_.valve_flow) {
        result.traces[t++].value.push_back(v);
    }
    for (const Chain& chain : n_.chains) {
        if (chain.end != EndKind::valve) {
            for (const int i : {0, chain.count / 2, chain.count - 1}) {
                result.traces[t++].value.push_back(
                    seen_.pressure[static_cast<std::size_t>(chain.first + i)]);
            }
        }
    }
    result.traces[t++].value.push_back(seen_.source_flow);
}

}  // namespace plenair

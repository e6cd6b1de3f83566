#include "solver/march/report_cycle.hpp"

#include "solver/march/bank_of.hpp"
#include "solver/march/cycle_summary.hpp"
#include "solver/march/trace_places.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <utility>

namespace plenair {

namespace {

/// Cells of the slots, bank by bank, by rising x in whatever order the pieces are listed.
std::vector<std::size_t> slot_passages(const Network& n) {
    std::vector<std::size_t> found;
    for (std::size_t i = 0; i < n.passages.size(); ++i) {
        if (n.passages[i].slot) {
            found.push_back(i);
        }
    }
    // The chambers of a bank have the cells behind those of the bank before it.
    const auto chamber = [&](std::size_t i) {
        const auto next = std::find_if(n.chains.begin(), n.chains.end(), [&](const Chain& chain) {
            return n.passages[i].from.first < chain.first + chain.count;
        });
        return next - n.chains.begin();
    };
    std::stable_sort(found.begin(), found.end(), [&](std::size_t a, std::size_t b) {
        const auto in_a = chamber(a), in_b = chamber(b);
        return in_a != in_b ? in_a < in_b : n.passages[a].x < n.passages[b].x;
    });
    return found;
}

}  // namespace

bool ReportCycle::march(CycleMap& map,
                        std::vector<double>& state,
                        const std::vector<int>& trapped_steps,
                        PassiveTransport* carried) {
    const auto cells = static_cast<std::size_t>(n_.layout.cells);
    mean_.assign(cells, 0.0);
    low_.assign(cells, std::numeric_limits<double>::max());
    high_.assign(cells, 0.0);
    mouth_peak_.assign(n_.mouths.size(), 0.0);
    slot_mach_ = 0.0;
    sonic_.begin();
    bank_losses_.begin();
    if (with_traces_) {
        name_traces();
    }
    const auto observe = [&](int k, double time) {
        const auto& steps = n_.crank.step;
        const auto at = static_cast<std::size_t>(k);
        const double length = steps[at];
        watch(length);
        sonic_.observe(snapshot_, n_.crank.start_angle + time * point_.speed, length);
        bank_losses_.observe(snapshot_,
                             0.5 * (length + steps[at == 0 ? steps.size() - 1 : at - 1]));
        if (with_traces_) {
            add_trace_sample(time);
        }
    };
    return map.march(state, trapped_steps, &snapshot_, observe, carried);
}

void ReportCycle::fill(const CycleMap& map, const std::vector<double>& state, PointResult& result) {
    const CycleEnd end{state, map.trapped, map.trapped_mass};
    fill_air(n_, engine_, point_, end, result);
    for (std::size_t v = 0; v < mouth_peak_.size() && v < n_.valves.size(); ++v) {
        result.cylinders[static_cast<std::size_t>(n_.valves[v].cylinder)].mouth_velocity_peak =
            mouth_peak_[v];
    }
    fill_losses(n_, n_.crank, engine_, point_, end, result);
    fill_slot_mach(n_, slot_mach_, result);
    fill_profiles(state, result);
    fill_traces(result);
    result.sonic = sonic_.sections();
}

void ReportCycle::fill_traces(PointResult& result) {
    result.crank_angle = std::move(crank_angle_);
    result.traces = std::move(traces_);
}

void ReportCycle::watch(double step) {
    const double weight = step * point_.speed / (4.0 * std::numbers::pi);
    for (std::size_t i = 0; i < mean_.size(); ++i) {
        const double p = snapshot_.pressure[i];
        mean_[i] += weight * p;
        low_[i] = std::min(low_[i], p);
        high_[i] = std::max(high_[i], p);
    }
    for (std::size_t i = 0; i < mouth_peak_.size(); ++i) {
        mouth_peak_[i] = std::max(mouth_peak_[i], snapshot_.mouth_velocity[i]);
    }
    for (std::size_t i = 0; i < n_.passages.size(); ++i) {
        if (n_.passages[i].slot) {
            slot_mach_ = std::max(slot_mach_, snapshot_.passage_mach[i]);
        }
    }
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
            profile.x.push_back((i + 0.5) * chain.dx);
            profile.mean.push_back(mean_[c]);
            profile.low.push_back(low_[c]);
            profile.high.push_back(high_[c]);
        }
        result.pressures.push_back(profile);
    }
    const double cycle_time = 4.0 * std::numbers::pi / point_.speed;
    for (const std::size_t i : slot_passages(n_)) {
        const Passage& p = n_.passages[i];
        const Chain* chamber = chamber_of(n_, p.from);
        const std::string bank = chamber == nullptr ? std::string() : bank_name(n_, *chamber);
        if (result.slots.empty() || result.slots.back().bank != bank) {
            result.slots.emplace_back().bank = bank;
        }
        SlotProfile& slot = result.slots.back();
        slot.x.push_back(p.x);
        slot.flow_per_length.push_back(
            state[static_cast<std::size_t>(n_.layout.passage_mass()) + i] / cycle_time / p.length);
    }
}

void ReportCycle::name_traces() {
    crank_angle_.clear();
    traces_.clear();
    for (std::size_t i = 0; i < n_.mouths.size(); ++i) {
        traces_.push_back({"runner_mouth_velocity", n_.valves[i].cylinder + 1, "m/s", {}});
    }
    for (const auto& valve : n_.valves) {
        traces_.push_back({"intake_valve_flow", valve.cylinder + 1, "kg/s", {}});
    }
    for (const Chain& chain : n_.chains) {
        if (chain.end != EndKind::valve) {
            for (const TracePlace& place : trace_places) {
                traces_.push_back({pressure_trace(chain.name, place), 0, "Pa", {}});
            }
        }
    }
    traces_.push_back({"throttle_flow", 0, "kg/s", {}});
}

void ReportCycle::add_trace_sample(double time) {
    crank_angle_.push_back(n_.crank.start_angle + time * point_.speed);
    std::size_t t = 0;
    for (const double v : snapshot_.mouth_velocity) {
        traces_[t++].value.push_back(v);
    }
    for (const double v : snapshot_.valve_flow) {
        traces_[t++].value.push_back(v);
    }
    for (const Chain& chain : n_.chains) {
        if (chain.end != EndKind::valve) {
            for (const TracePlace& place : trace_places) {
                const auto cell = place.cell(static_cast<std::size_t>(chain.count));
                traces_[t++].value.push_back(
                    snapshot_.pressure[static_cast<std::size_t>(chain.first) + cell]);
            }
        }
    }
    traces_[t++].value.push_back(snapshot_.source_flow);
}

}  // namespace plenair

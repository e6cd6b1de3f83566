#include "solver/network/right_hand_side.hpp"

#include "solver/network/kernel.hpp"

#include <cmath>

namespace plenair {

// A single short pipe has fewer faces than a wide pack: only the plain copy can sweep it.
RightHandSide::RightHandSide(const Network& network, bool careful)
    : n_(network),
      numbers_(network, 1),
      work_(network, 1),
      gnielinski_(network.gas.prandtl),
      sweeps_(network.layout.cells < 2 * widest_sweep ? generic_sweeps() : &best_sweeps()) {
    if (careful) {
        sweeps_ = sweeps_->careful;
    }
}

void RightHandSide::begin_step(int step, double start, double length, Snapshot* seen) {
    step_ = step;
    step_start_ = start;
    step_length_ = length;
    refresh_ = true;
    seen_ = seen;
}

void RightHandSide::operator()(const std::vector<double>& state,
                               std::vector<double>& rate,
                               double time) {
    if (seen_ != nullptr) {
        Snapshot& seen = *seen_;
        seen_ = nullptr;
        observe(state, rate, time, seen);
        return;
    }
    evaluate(state, rate, time, nullptr);
}

void RightHandSide::evaluate(const std::vector<double>& state,
                             std::vector<double>& rate,
                             double time,
                             Snapshot* seen) {
    const int node =
        2 * step_ + static_cast<int>(std::lround(2.0 * (time - step_start_) / step_length_));
    Kernel<double> kernel(n_, numbers_, work_, gnielinski_, sweeps_);
    kernel.begin(state.data(), rate.data(), node, refresh_, seen);
    kernel.cell_rates(rate.data());
    refresh_ = !hold_;
}

void RightHandSide::observe(const std::vector<double>& state,
                            std::vector<double>& rate,
                            double time,
                            Snapshot& seen) {
    seen.mouth_velocity.assign(n_.mouths.size(), 0.0);
    seen.valve_flow.assign(n_.valves.size(), 0.0);
    for (auto* v : {&seen.mouth_flow, &seen.mouth_loss}) {
        v->assign(n_.mouths.size(), 0.0);
    }
    for (auto* v : {&seen.passage_mach, &seen.passage_flow, &seen.passage_loss}) {
        v->assign(n_.passages.size(), 0.0);
    }
    for (auto* v : {&seen.end_flow, &seen.end_mach, &seen.end_choke, &seen.end_loss}) {
        v->assign(2 * n_.chains.size(), 0.0);
    }
    seen.wall_loss.assign(n_.chains.size(), 0.0);
    evaluate(state, rate, time, &seen);
    const auto cells = work_.p.begin() + n_.layout.cells;
    seen.pressure.assign(work_.p.begin(), cells);
    seen.velocity.assign(work_.u.begin(), work_.u.begin() + n_.layout.cells);
    seen.mach.resize(seen.velocity.size());
    for (std::size_t i = 0; i < seen.mach.size(); ++i) {
        seen.mach[i] = seen.velocity[i] / std::sqrt(n_.gas.gamma * work_.rt[i]);
    }
    seen.source_flow = rate[static_cast<std::size_t>(n_.layout.total(Layout::source_mass))];
}

}  // namespace plenair

#include "solver/network/right_hand_side.hpp"

#include "geometry/contract.hpp"
#include "solver/network/kernel.hpp"

#include <cmath>

namespace plenair {

// A single short pipe has fewer faces than a wide pack: only the plain copy can take it.
RightHandSide::RightHandSide(const Network& network, bool first_order_at_jumps)
    : n_(network),
      numbers_(network, 1),
      work_(network, 1),
      gnielinski_(network.gas.prandtl),
      loops_(network.layout.cells < 2 * widest_pack ? generic_cell_loops() : &best_cell_loops()) {
    if (first_order_at_jumps) {
        loops_ = loops_->first_order_at_jumps;
    }
}

void RightHandSide::begin_step(int step, double start, double length, Snapshot* snapshot) {
    PLENAIR_EXPECT(step >= 0 && length > 0.0);
    const int steps = static_cast<int>(n_.crank.step.size());
    goes_on_ = begun_ && step == step_ + 1 &&
               (steps == 0 || holds_from_before(step, steps, n_.layout.cylinders));
    begun_ = true;
    stage_ = 0;
    step_ = step;
    step_start_ = start;
    step_length_ = length;
    snapshot_ = snapshot;
}

void RightHandSide::operator()(const std::vector<double>& state,
                               std::vector<double>& rate,
                               double time) {
    if (snapshot_ != nullptr) {
        Snapshot& snapshot = *snapshot_;
        snapshot_ = nullptr;
        observe(state, rate, time, snapshot);
        return;
    }
    evaluate(state, rate, time, nullptr);
}

void RightHandSide::evaluate(const std::vector<double>& state,
                             std::vector<double>& rate,
                             double time,
                             Snapshot* snapshot) {
    const int node =
        2 * step_ + static_cast<int>(std::lround(2.0 * (time - step_start_) / step_length_));
    const auto size = static_cast<std::size_t>(n_.layout.size());
    PLENAIR_EXPECT(state.size() == size && rate.size() == size);
    PLENAIR_EXPECT(!n_.has_engine() || (node >= 0 && node < n_.crank.nodes));
    Kernel<double> kernel(n_, numbers_, work_, gnielinski_, loops_);
    const bool laws = !hold_ || evaluates_wall_laws(stage_, goes_on_);
    ++stage_;
    kernel.begin(state.data(), rate.data(), node, {.wall_laws = laws}, snapshot);
    kernel.cell_rates(rate.data());
}

void RightHandSide::observe(const std::vector<double>& state,
                            std::vector<double>& rate,
                            double time,
                            Snapshot& snapshot) {
    snapshot.mouth_velocity.assign(n_.mouths.size(), 0.0);
    snapshot.valve_flow.assign(n_.valves.size(), 0.0);
    for (auto* v : {&snapshot.mouth_flow, &snapshot.mouth_loss}) {
        v->assign(n_.mouths.size(), 0.0);
    }
    for (auto* v : {&snapshot.passage_mach, &snapshot.passage_flow, &snapshot.passage_loss}) {
        v->assign(n_.passages.size(), 0.0);
    }
    for (auto* v :
         {&snapshot.end_flow, &snapshot.end_mach, &snapshot.end_choke, &snapshot.end_loss}) {
        v->assign(2 * n_.chains.size(), 0.0);
    }
    snapshot.wall_loss.assign(n_.chains.size(), 0.0);
    evaluate(state, rate, time, &snapshot);
    const auto cells = work_.p.begin() + n_.layout.cells;
    snapshot.pressure.assign(work_.p.begin(), cells);
    snapshot.velocity.assign(work_.u.begin(), work_.u.begin() + n_.layout.cells);
    snapshot.mach.resize(snapshot.velocity.size());
    for (std::size_t i = 0; i < snapshot.mach.size(); ++i) {
        snapshot.mach[i] = snapshot.velocity[i] / std::sqrt(n_.gas.gamma * work_.rt[i]);
    }
    snapshot.source_flow = rate[static_cast<std::size_t>(n_.layout.total(Layout::source_mass))];
}

}  // namespace plenair

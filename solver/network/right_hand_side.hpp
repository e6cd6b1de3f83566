#pragma once

#include "solver/laws/heat.hpp"
#include "solver/network/cell_loops.hpp"
#include "solver/network/network.hpp"
#include "solver/network/numbers.hpp"
#include "solver/network/scratch.hpp"

#include <vector>

namespace plenair {

/// d(state)/dt of one intake at one operating point. Functor for Boost.Odeint; no allocation when
/// called. The equations are the kernel's (solver/network/kernel.hpp) with one lane.
class RightHandSide final {
public:
    /// `first_order_at_jumps`: with faces that keep to their cells at strong jumps, for steps of a
    /// Courant number up to 1.2.
    explicit RightHandSide(const Network& network, bool first_order_at_jumps = false);

    /// Wall laws (friction factor, Nusselt number, Woschni's film) are evaluated once a step, in
    /// its middle, and held from there to the next one's: they change slowly and cost much. Off
    /// until asked for.
    void hold_wall_laws() { hold_ = true; }
    /// Reads the numbers of the network again, where the caller has changed them.
    void read_network() { numbers_.set_lane(0, n_); }
    /// Step of the crank table that the next calls belong to, with its start time and length [s].
    /// The first of them is kept in `snapshot` where one is given.
    void begin_step(int step, double start, double length, Snapshot* snapshot = nullptr);
    void operator()(const std::vector<double>& state, std::vector<double>& rate, double time);
    /// Evaluates and fills the snapshot.
    void observe(const std::vector<double>& state,
                 std::vector<double>& rate,
                 double time,
                 Snapshot& snapshot);

private:
    void evaluate(const std::vector<double>& state,
                  std::vector<double>& rate,
                  double time,
                  Snapshot* snapshot);

    const Network& n_;
    Numbers<double> numbers_;
    Scratch<double> work_;
    laws::Gnielinski gnielinski_;
    const CellLoops* loops_;
    double step_start_ = 0, step_length_ = 1;
    int step_ = 0;
    Snapshot* snapshot_ = nullptr;
    bool hold_ = false;
    bool begun_ = false, goes_on_ = false;  ///< with the step after the last one
    int stage_ = 0;  ///< of the step
};

}  // namespace plenair

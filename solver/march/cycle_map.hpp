#pragma once

#include "solver/march/failure.hpp"
#include "solver/march/passive_transport.hpp"
#include "solver/march/runge_kutta.hpp"
#include "solver/network/right_hand_side.hpp"

#include <functional>
#include <vector>

namespace plenair {

/// The map from the state at the start of a cycle to the state at its end, with the integrals of
/// what passed.
class CycleMap final {
public:
    /// `first_order_at_jumps` as in RightHandSide.
    explicit CycleMap(const Network& network, bool first_order_at_jumps = false);

    /// Called after each step with its number and start time; what the start of the step looked
    /// like is then in the snapshot.
    using Watch = std::function<void(int step, double time)>;

    /// Marches one cycle in place; the cycle integrals start at zero. `trapped` receives the fresh
    /// mass of each cylinder when its step of `trapped_steps` begins [kg], `trapped_mass` its whole
    /// mass. Returns false as soon as a density or a pressure is not positive, and `lost` says
    /// where. With a snapshot, the first evaluation of each step is kept in it for `watch`;
    /// `carried` learns the flow of the cycle.
    bool march(std::vector<double>& state,
               const std::vector<int>& trapped_steps,
               Snapshot* snapshot = nullptr,
               const Watch& watch = {},
               PassiveTransport* carried = nullptr);

    std::vector<double> trapped, trapped_mass;
    double largest_rate = 0;  ///< largest fastest_rate [1/s]
    Lost lost;  ///< after a march that left physical states

private:
    bool check(const std::vector<double>& state, int step, double time);
    void find_loss(std::vector<double> state, int step, double time);
    void note_fastest(const std::vector<double>& state);
    void note_trapped(int step, const std::vector<double>& state, const std::vector<int>& steps);

    const Network& n_;
    RightHandSide rhs_;
    RungeKutta4 stepper_;
    std::vector<double> physical_;  ///< last state that was checked and physical
    int physical_step_ = 0;
    double physical_time_ = 0;
};

/// False where a density, a pressure or the content of a cylinder is not positive and finite.
[[nodiscard]] bool physical(const Network& network, const std::vector<double>& state);

/// Scale of every periodic entry of the state, so that residuals of all kinds compare.
[[nodiscard]] std::vector<double> state_scales(const Network& network, double air_flow);

/// Mass, total energy and fresh charge stored in ducts and cylinders [kg], [J], [kg].
struct Stored {
    double mass = 0, energy = 0, fresh = 0;
    double ducts = 0;  ///< mass in ducts alone
};
[[nodiscard]] Stored stored(const Network& network, const std::vector<double>& state);

}  // namespace plenair

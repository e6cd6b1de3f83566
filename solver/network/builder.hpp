#pragma once

#include "geometry/intake.hpp"
#include "solver/network/network.hpp"
#include "solver/network/point.hpp"

namespace plenair {

/// Which parts a bench set-up opens.
struct BenchParts {
    BenchSetUp set_up = BenchSetUp::all;
    int open_runner = -1;  ///< index over all banks; -1: every runner
    double valve_area = 0;  ///< BenchSetUp::valve: effective area of the open valves [m2]
    BenchHead head = BenchHead::runner;  ///< BenchSetUp::valve
};

/// Cuts an intake with its engine into cells for one operating point. The crank table is left
/// empty: its steps are those of a march (docs/decisions/contracts.md).
/// `like` is a network whose charge and products are the same gases, whose fitted tables of gas and
/// friction are then taken instead of being fitted again.
/// @throws InputError where a part that the engine needs is missing or too short for three cells.
[[nodiscard]] Network build_engine(const geometry::Intake& intake,
                                   const geometry::Engine& engine,
                                   const OperatingPoint& point,
                                   const Model& model,
                                   const Network* like = nullptr);

/// The same for a flow bench: no cylinders, runner ends blow into a room at the depression.
[[nodiscard]] Network build_bench(const geometry::Intake& intake,
                                  const BenchSettings& bench,
                                  const Model& model,
                                  const BenchParts& parts);

/// Turns the plates of every throttle to an angle [rad]; none: wide open. @pre the network was
/// built of this intake, and what forms a jet at that angle formed one then
void set_throttles(Network& network, const geometry::Intake& intake, std::optional<double> angle);

/// Still gas at the source state everywhere, cylinders as at a guessed cycle.
[[nodiscard]] std::vector<double> initial_state(const Network& network);

/// Shortest time in which a wave or a slot's own mode needs a step, for the state at hand: 1/dt at
/// CFL 1 [1/s], from the largest of (|u| + a)/dx and the passage modes.
[[nodiscard]] double fastest_rate(const Network& network, const std::vector<double>& state);

/// What limits a step, over some time.
struct Waves {
    std::vector<double> speed;  ///< largest |u| + a of each chain [m/s]
    double damping = 0;  ///< fastest return of a passage to steady flow [1/s]
};

/// Steps between two looks at what limits them: waves change little from step to step.
inline constexpr int look_every = 4;

/// The same as fastest_rate from waves observed in this network, or in one of other cells with the
/// same chains [1/s].
[[nodiscard]] double fastest_rate(const Network& network, const Waves& waves);

}  // namespace plenair

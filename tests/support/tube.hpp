#pragma once

#include "solver/march/runge_kutta.hpp"
#include "solver/network/network.hpp"
#include "solver/network/right_hand_side.hpp"

#include <cstddef>
#include <functional>
#include <string>
#include <vector>

/// Pipes, vessels and openings without an engine, put together by hand from the network's own
/// elements and marched with the product's stepper at the product's step.
namespace plenair::test {

using State = std::vector<double>;

/// Gas at a place of a pipe.
struct Gas {
    double rho = 1, u = 0, p = 1e5;  ///< [kg/m3], [m/s], [Pa]
};

/// One pipe; a vessel is a short wide one.
struct Pipe {
    double length = 1;  ///< [m]
    int cells = 100;
    std::function<double(double)> area;  ///< section at x [m2]; a step belongs on a cell's face
    EndKind start = EndKind::wall, end = EndKind::wall;
    double effective_area = 0;  ///< Cd A of a throttle at its start [m2]
    double exit_loss = 1;
    double darcy = 0;  ///< imposed friction factor; 0: none
    bool smooth = false;  ///< Colebrook friction of a smooth wall
};

/// Part of a pipe that a passage or a mouth takes its gas from; pipe -1 is a room.
struct Stretch {
    int pipe = -1;
    double from = 0, to = 0;  ///< [m]
    Reservoir room;
};

class Tube final {
public:
    /// Gas of `gamma` and `gas_constant`, source and room at rest at this state; theta 1, phi 0.
    Tube(double gamma, double gas_constant, double pressure, double temperature);

    int add(const Pipe& pipe);
    /// Runner `pipe` draws from the stretch through its start, losing `entry_loss` velocity heads.
    void add_mouth(int pipe, const Stretch& host, double entry_loss);
    /// Opening of constant Cd between two stretches with an air column of `length` [m].
    int add_passage(const Stretch& from, const Stretch& to, double area, double cd, double length);
    /// Lays out the state, still gas of the source everywhere. Add nothing afterwards.
    void finish();

    /// Means over the cells of a pipe of gas given along x by volume (seven-point Gauss rule).
    void fill(int pipe, const std::function<Gas(double)>& gas);

    /// Rate of change that a test adds to what the network computes, at (time, state).
    using Forcing = std::function<void(double, const State&, State&)>;
    /// Called with the time before each step.
    using Watch = std::function<void(double)>;

    /// Marches to `time` with the step of the fastest wave, found anew for each step.
    void march(double time, const Watch& watch = {});
    /// Marches to `time` in equal steps.
    void march_equal(double time, int steps, const Watch& watch = {});

    [[nodiscard]] double pressure(int pipe, int cell) const;
    [[nodiscard]] double velocity(int pipe, int cell) const;
    [[nodiscard]] double density(int pipe, int cell) const;
    /// Centre of a cell [m].
    [[nodiscard]] double centre(int pipe, int cell) const;
    [[nodiscard]] std::vector<double> pressures(int pipe) const;
    /// Sum of density times volume over a pipe [kg].
    [[nodiscard]] double mass(int pipe) const;
    /// Place in the state vector of a cell in a block of the layout.
    [[nodiscard]] std::size_t index(int block, int pipe, int cell) const;

    Network network;
    State state;
    double time = 0;
    Forcing forcing;

private:
    Footprint footprint(const Stretch& s) const;
    void step(RightHandSide& rhs, RungeKutta4& stepper, double h);

    std::vector<std::function<double(double)>> areas_;
};

/// Moment at which a sampled quantity crosses zero upwards, by straight lines between samples.
class Crossings final {
public:
    void sample(double time, double value);
    /// Cycles per second between the first and the last upward crossing.
    [[nodiscard]] double frequency() const;
    [[nodiscard]] std::size_t count() const { return times_.size(); }

private:
    std::vector<double> times_;
    double last_time_ = 0, last_value_ = 0;
    bool any_ = false;
};

}  // namespace plenair::test

#pragma once

#include "solver/network/numbers.hpp"

#include <cstddef>

namespace plenair {

/// What one evaluation saw, for traces and for reports; filled on request only.
struct Snapshot {
    std::vector<double> pressure, velocity;  ///< per padded cell
    std::vector<double> mouth_velocity;  ///< per mouth
    std::vector<double> valve_flow;  ///< per valve, into the cylinder [kg/s]
    std::vector<double> passage_mach;  ///< per passage
    double source_flow = 0;
    std::vector<double> mach;  ///< per padded cell, positive along x
    // Two ends a chain.
    std::vector<double> end_flow;  ///< into the chain [kg/s]
    std::vector<double> end_mach;  ///< of the duct at its end, positive into the chain
    std::vector<double> end_choke;  ///< of an opening: 1 and above where it is choked
    // Losses as the cycle integrals count them, part by part: flow times total pressure lost [kg
    // Pa/s].
    std::vector<double> end_loss;  ///< of an opening, two ends a chain
    std::vector<double> passage_flow, passage_loss;  ///< per passage [kg/s], [kg Pa/s]
    std::vector<double> mouth_flow, mouth_loss;  ///< per mouth, of the flow into the runner
    std::vector<double> wall_loss;  ///< per chain, of friction in those that end in a valve
};

/// Gas per padded cell, ghosts included; flow = u A.
template <class T>
struct CellGas {
    Aligned<T> rho, u, flow, p, rt, y;
};

/// Arrays that an evaluation writes on its way, the lane as innermost index. Apart from the kernel,
/// so that code for one instruction set allocates nothing.
template <class T>
struct Scratch : CellGas<T> {
    CellGas<T> next;  ///< that of the next evaluation, where stages go straight into it (lanes)
    Aligned<T> mass, carried, pressure, energy, fresh;  ///< per face, where faces go first
    Aligned<T> thrust;  ///< excess momentum flow of a jet per face [N]
    Aligned<T> s_mass, s_momentum, s_energy, s_fresh;  ///< sources per padded cell, positive in
    Aligned<T> drag, viscous, heat;  ///< wall factors per padded cell, held over a step
    Aligned<T> end_state;  ///< four numbers an end (rho, u, p, y), two ends a chain
    Aligned<T> edge;  ///< five fluxes an end
    Aligned<T> jet_inflow;  ///< thrust entering, per end [N]
    Aligned<T> cylinder;  ///< eight numbers a cylinder
    Aligned<T> damping;  ///< fastest return of a passage to steady flow at the refreshes [1/s]
    Aligned<T> slot_mach_square;  ///< largest of a refresh
    Aligned<T> mouth_peak;  ///< largest inward velocity of each mouth at a refresh [m/s]
    Aligned<T> film;  ///< heat transfer coefficient per cylinder, held over a step

    enum Cylinder { c_p, c_t, c_y, c_r, c_h, c_mass, c_energy, c_fresh, c_count };

    Scratch(const Network& n, int lanes);
};

}  // namespace plenair

#pragma once

#include "solver/laws/heat.hpp"
#include "solver/network/ends.hpp"
#include "solver/network/flux.hpp"
#include "solver/network/network.hpp"
#include "solver/network/sweeps.hpp"

#include <vector>

namespace plenair {

/// What one evaluation saw, for traces and for reports; filled on request only.
struct Snapshot {
    std::vector<double> pressure, velocity;  ///< per padded cell
    std::vector<double> mouth_velocity;  ///< per mouth
    std::vector<double> valve_flow;  ///< per valve, into the cylinder [kg/s]
    std::vector<double> passage_mach;  ///< per passage
    double source_flow = 0;
    std::vector<double> exit_flow;  ///< per chain, out of its exit
};

/// d(state)/dt of one intake at one operating point. Functor for Boost.Odeint; no allocation when
/// called. Equations: mass, axial momentum with profile factor, energy and fresh charge per cell
/// (docs/theory.md).
class RightHandSide final {
public:
    explicit RightHandSide(const Network& network);

    /// Step of the crank table that the next calls belong to, with its start time and length [s].
    void begin_step(int step, double start, double length);
    void operator()(const std::vector<double>& state, std::vector<double>& rate, double time);
    /// Evaluates and keeps what it saw.
    void observe(const std::vector<double>& state,
                 std::vector<double>& rate,
                 double time,
                 Snapshot& seen);

private:
    void primitives(const double* s);
    void ghosts();
    [[nodiscard]] double closure(const Chain& chain, bool at_start) const;
    void boundary_faces(double* r);
    void interior_faces();
    void jets(const double* s, double* r);
    void mouths(double* r);
    void passages(const double* s, double* r);
    void valves(const double* s, double* r);
    void cylinders(const double* s, double* r);
    void collect(double* r);
    void friction_and_heat(double* r);
    struct Around;
    [[nodiscard]] Around around(const Footprint& f) const;
    void give(const Footprint& f, double mass, double velocity_factor, double h0, double fresh);
    void tee_run_loss(const Mouth& mouth, const Around& at, double out_velocity);
    [[nodiscard]] ends::DuctEnd<double> duct_end(const Chain& chain, bool at_start) const;
    void set_face(const Chain& chain, bool at_start, const ends::Crossing<double>& c, double beta);
    void apply_edges();
    void open_end(const Chain& chain, bool at_start, double* r);
    void throttle_end(int chain, bool at_start, double* r);
    void exit_end(const Chain& chain, double* r);

    const Network& n_;
    const Sweeps& sweeps_;
    int node_ = 0;
    double step_start_ = 0, step_length_ = 1;
    int step_ = 0;
    laws::Gnielinski gnielinski_;
    Snapshot* seen_ = nullptr;
    // Per padded cell.
    std::vector<double> rho_, u_, volume_flow_, rt_, y_, p_;
    std::vector<double> inverse_face_area_;
    // Per face.
    std::vector<double> mass_, carried_, pressure_, energy_, fresh_, excess_;
    // Wall friction [N] and wall heat [W] per padded cell.
    std::vector<double> drag_, heat_;
    // Sources per padded cell, positive in.
    std::vector<double> s_mass_, s_momentum_, s_energy_, s_fresh_;
    // Extrapolated values at both ends of every chain: rho, u, rt, y.
    std::vector<FaceState<double>> end_states_;
    std::vector<FaceFlux<double>> edge_flux_;  // per chain and end
    std::vector<double> jet_inflow_;  // beta - 1 entering, per chain and end
    std::vector<double> cylinder_mass_in_, cylinder_energy_in_, cylinder_fresh_in_;
    std::vector<double> cylinder_p_, cylinder_t_, cylinder_y_, cylinder_r_;
};

}  // namespace plenair

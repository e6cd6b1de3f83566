#include "solver/network/right_hand_side.hpp"

#include "solver/network/reconstruction.hpp"

#include <algorithm>
#include <cmath>

namespace plenair {

// A single short pipe has fewer faces than a wide pack: only the plain copy can sweep it.
RightHandSide::RightHandSide(const Network& network)
    : n_(network),
      sweeps_(network.layout.cells < 2 * widest_sweep ? *generic_sweeps() : best_sweeps()) {
    const auto cells = static_cast<std::size_t>(n_.layout.cells);
    for (auto* v : {&rho_, &u_, &volume_flow_, &rt_, &y_, &p_, &drag_, &heat_}) {
        v->assign(cells + widest_sweep, 1.0);  // room for a whole pack at the last cell
    }
    std::fill(drag_.begin(), drag_.end(), 0.0);
    std::fill(heat_.begin(), heat_.end(), 0.0);
    for (auto* v : {&s_mass_, &s_momentum_, &s_energy_, &s_fresh_}) {
        v->assign(cells, 0.0);
    }
    for (auto* v : {&mass_, &carried_, &pressure_, &energy_, &fresh_, &excess_}) {
        v->assign(cells + 1, 0.0);
    }
    inverse_face_area_.resize(cells + 1);
    for (std::size_t f = 0; f <= cells; ++f) {
        inverse_face_area_[f] = 1.0 / n_.face_area[f];
    }
    gnielinski_ = laws::Gnielinski(n_.gas.prandtl);
    end_states_.resize(2 * n_.chains.size());
    edge_flux_.resize(2 * n_.chains.size());
    jet_inflow_.assign(2 * n_.chains.size(), 0.0);
    const auto cylinders = static_cast<std::size_t>(n_.layout.cylinders);
    for (auto* v : {&cylinder_mass_in_,
                    &cylinder_energy_in_,
                    &cylinder_fresh_in_,
                    &cylinder_p_,
                    &cylinder_t_,
                    &cylinder_y_,
                    &cylinder_r_}) {
        v->assign(cylinders, 0.0);
    }
}

void RightHandSide::begin_step(int step, double start, double length) {
    step_ = step;
    step_start_ = start;
    step_length_ = length;
}

void RightHandSide::operator()(const std::vector<double>& state,
                               std::vector<double>& rate,
                               double time) {
    node_ = 2 * step_ + static_cast<int>(std::lround(2.0 * (time - step_start_) / step_length_));
    const double* s = state.data();
    double* r = rate.data();
    std::fill(rate.begin(), rate.end(), 0.0);
    primitives(s);
    ghosts();
    boundary_faces(r);
    mouths(r);
    if (n_.has_engine()) {
        valves(s, r);
        cylinders(s, r);
    }
    interior_faces();
    apply_edges();
    jets(s, r);
    passages(s, r);
    friction_and_heat(r);
    collect(r);
}

void RightHandSide::observe(const std::vector<double>& state,
                            std::vector<double>& rate,
                            double time,
                            Snapshot& seen) {
    seen.mouth_velocity.assign(n_.mouths.size(), 0.0);
    seen.valve_flow.assign(n_.valves.size(), 0.0);
    seen.passage_mach.assign(n_.passages.size(), 0.0);
    seen.exit_flow.assign(n_.chains.size(), 0.0);
    seen.source_flow = 0;
    seen_ = &seen;
    (*this)(state, rate, time);
    seen_ = nullptr;
    seen.pressure = p_;
    seen.velocity = u_;
    seen.source_flow = rate[static_cast<std::size_t>(n_.layout.total(Layout::source_mass))];
}

void RightHandSide::primitives(const double* s) {
    const Layout& at = n_.layout;
    const int cells = at.cells;
    const double* rho = s + at.rho();
    const double* rho_u = s + at.rho_u();
    const double* rho_e = s + at.rho_e();
    const double* rho_y = s + at.rho_y();
    const double k = n_.gas.gamma - 1.0;
    for (int i = 0; i < cells; ++i) {
        const auto c = static_cast<std::size_t>(i);
        const double inverse = 1.0 / rho[i];
        const double u = rho_u[i] * inverse;
        rho_[c] = rho[i];
        u_[c] = u;
        volume_flow_[c] = u * n_.area[c];
        rt_[c] = k * (rho_e[i] * inverse - 0.5 * u * u);
        y_[c] = rho_y[i] * inverse;
        p_[c] = rho[i] * rt_[c];
    }
    std::fill(s_mass_.begin(), s_mass_.end(), 0.0);
    std::fill(s_momentum_.begin(), s_momentum_.end(), 0.0);
    std::fill(s_energy_.begin(), s_energy_.end(), 0.0);
    std::fill(s_fresh_.begin(), s_fresh_.end(), 0.0);
}

double RightHandSide::closure(const Chain& chain, bool at_start) const {
    const EndKind kind = at_start ? chain.start : chain.end;
    if (kind == EndKind::wall || (kind == EndKind::exit && chain.closed_exit)) {
        return 1.0;
    }
    if (kind == EndKind::valve) {
        const auto row = static_cast<std::size_t>(node_ * n_.layout.cylinders + chain.cylinder);
        const double area = n_.face_area[static_cast<std::size_t>(chain.first + chain.count)];
        return std::max(0.0, 1.0 - 20.0 * n_.crank.intake[row] / area);
    }
    return 0.0;
}

void RightHandSide::ghosts() {
    for (std::size_t c = 0; c < n_.chains.size(); ++c) {
        const Chain& chain = n_.chains[c];
        for (int side = 0; side < 2; ++side) {
            const int step = side == 0 ? 1 : -1;
            const int edge = side == 0 ? chain.first : chain.first + chain.count - 1;
            FaceState<double>& end = end_states_[2 * c + static_cast<std::size_t>(side)];
            const double closed = closure(chain, side == 0);
            const auto fill = [&](std::vector<double>& w, bool is_positive) {
                const auto at = [&](int offset) -> double& {
                    return w[static_cast<std::size_t>(edge + step * offset)];
                };
                const auto v = reconstruction::blend(
                    reconstruction::end_values(at(0), at(1), at(2), is_positive),
                    reconstruction::mirror_values(at(0), at(1), at(2), is_positive),
                    closed);
                at(-1) = v.ghost1;
                at(-2) = v.ghost2;
                return v.face;
            };
            end.rho = fill(rho_, true);
            const auto face = static_cast<std::size_t>(side == 0 ? edge : edge + 1);
            end.u = fill(volume_flow_, false) / n_.face_area[face];
            end.rt = fill(p_, true) / end.rho;
            end.y = y_[static_cast<std::size_t>(edge)];
        }
    }
}

void RightHandSide::interior_faces() {
    // Faces between two chains compute on ghosts and are never used: one straight loop is faster.
    sweeps_.faces(
        {rho_.data(), volume_flow_.data(), p_.data(), y_.data(), inverse_face_area_.data()},
        {mass_.data(), carried_.data(), pressure_.data(), energy_.data(), fresh_.data()},
        3,
        n_.layout.cells - 2,
        n_.gas.gamma);
}

void RightHandSide::collect(double* r) {
    const Layout& at = n_.layout;
    const int cells = at.cells;
    const double* a = n_.face_area.data();
    const double* p = p_.data();
    const double* inverse = n_.inverse_volume.data();
    double* d_rho = r + at.rho();
    double* d_rho_u = r + at.rho_u();
    double* d_rho_e = r + at.rho_e();
    double* d_rho_y = r + at.rho_y();
    const double* mass = mass_.data();
    const double* carried = carried_.data();
    const double* pressure = pressure_.data();
    const double* energy = energy_.data();
    const double* fresh = fresh_.data();
    const double* excess = excess_.data();
    const double* sm = s_mass_.data();
    const double* su = s_momentum_.data();
    const double* se = s_energy_.data();
    const double* sy = s_fresh_.data();
    const double* drag = drag_.data();
    const double* heat = heat_.data();
    for (int i = 0; i < cells; ++i) {
        const double al = a[i];
        const double ar = a[i + 1];
        d_rho[i] = (mass[i] * al - mass[i + 1] * ar + sm[i]) * inverse[i];
        // Pressure on the walls of a tapering part: p dA keeps still air still.
        d_rho_u[i] = ((carried[i] * (1.0 + excess[i]) + pressure[i] - p[i]) * al -
                      (carried[i + 1] * (1.0 + excess[i + 1]) + pressure[i + 1] - p[i]) * ar +
                      su[i] + drag[i]) *
                     inverse[i];
        d_rho_e[i] = (energy[i] * al - energy[i + 1] * ar + se[i] + heat[i]) * inverse[i];
        d_rho_y[i] = (fresh[i] * al - fresh[i + 1] * ar + sy[i]) * inverse[i];
    }
}

void RightHandSide::jets(const double* s, double* r) {
    const Layout& at = n_.layout;
    if (at.jets == 0) {
        return;
    }
    for (std::size_t c = 0; c < n_.chains.size(); ++c) {
        const Chain& chain = n_.chains[c];
        if (!chain.jet) {
            continue;
        }
        for (int i = 0; i + 1 < chain.count; ++i) {
            excess_[static_cast<std::size_t>(chain.first + i + 1)] =
                std::max(0.0, s[at.jet() + chain.first + i]);
        }
        // The jet travels with the mean of jet and duct velocity and mixes out over Lm: exact in
        // steady flow.
        for (int i = 0; i + 1 < chain.count; ++i) {
            const int f = chain.first + i + 1;
            const auto cf = static_cast<std::size_t>(f);
            const double velocity = 0.5 * (u_[cf - 1] + u_[cf]);
            const double own = excess_[cf];
            const double speed = std::min(std::abs(velocity) * (1.0 + 0.5 * own), 300.0);
            const bool forward = velocity > 0.0;
            const double first = jet_inflow_[2 * c];
            const double last = jet_inflow_[2 * c + 1];
            const double upwind = forward ? (i == 0 ? first : excess_[cf - 1])
                                          : (i + 2 == chain.count ? last : excess_[cf + 1]);
            r[at.jet() + f - 1] =
                speed / chain.dx * chain.jet_rate * (chain.jet_decay * upwind - own);
        }
    }
}

}  // namespace plenair

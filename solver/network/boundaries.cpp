#include "solver/network/right_hand_side.hpp"

#include <algorithm>
#include <cmath>

/// Ends of chains: walls, open ends, throttles, bench exits.
namespace plenair {

namespace {

// Mach number at which an inflow rules the ghosts' entropy half; a blend, since a switch would
// jitter.
constexpr double inflow_mach = 0.005;

}  // namespace

ends::DuctEnd<double> RightHandSide::duct_end(const Chain& chain, bool at_start) const {
    const auto index = static_cast<std::size_t>(&chain - n_.chains.data());
    const FaceState<double>& f = end_states_[2 * index + (at_start ? 0 : 1)];
    const int face = at_start ? chain.first : chain.first + chain.count;
    return {f.rho, at_start ? f.u : -f.u, f.rt, f.y, n_.face_area[static_cast<std::size_t>(face)]};
}

void RightHandSide::set_face(const Chain& chain,
                             bool at_start,
                             const ends::Crossing<double>& c,
                             double beta) {
    const auto face = static_cast<std::size_t>(at_start ? chain.first : chain.first + chain.count);
    const auto index =
        2 * static_cast<std::size_t>(&chain - n_.chains.data()) + (at_start ? 0u : 1u);
    const double sign = at_start ? 1.0 : -1.0;
    const double per_area = c.mass / n_.face_area[face];
    edge_flux_[index] = {sign * per_area,
                         beta * per_area * c.velocity,
                         c.pressure,
                         sign * per_area * c.h0,
                         sign * per_area * c.fresh};
    excess_[face] = 0.0;
    // Gas that comes in brings its entropy: the ghosts carry it, or the first faces would look
    // downstream.
    const int step = at_start ? -1 : 1;
    const auto edge =
        static_cast<std::size_t>(at_start ? chain.first : chain.first + chain.count - 1);
    const double a2 = n_.gas.gamma * c.pressure / c.rho;
    const double mach2 = c.velocity * c.velocity / a2;
    const double inflow = c.velocity > 0.0 ? mach2 / (mach2 + inflow_mach * inflow_mach) : 0.0;
    for (const int g : {1, 2}) {
        const auto ghost = edge + static_cast<std::size_t>(step * g);
        const double rho = c.rho + (p_[ghost] - c.pressure) / a2;
        rho_[ghost] += inflow * (std::max(rho, 0.3 * c.rho) - rho_[ghost]);
    }
}

void RightHandSide::apply_edges() {
    for (std::size_t c = 0; c < n_.chains.size(); ++c) {
        const Chain& chain = n_.chains[c];
        for (const std::size_t side : {0u, 1u}) {
            const auto f =
                static_cast<std::size_t>(side == 0 ? chain.first : chain.first + chain.count);
            const FaceFlux<double>& flux = edge_flux_[2 * c + side];
            mass_[f] = flux.mass;
            carried_[f] = flux.carried;
            pressure_[f] = flux.pressure;
            energy_[f] = flux.energy;
            fresh_[f] = flux.fresh;
        }
    }
}

void RightHandSide::boundary_faces(double* r) {
    for (std::size_t c = 0; c < n_.chains.size(); ++c) {
        const Chain& chain = n_.chains[c];
        for (const bool at_start : {true, false}) {
            const EndKind kind = at_start ? chain.start : chain.end;
            if (kind == EndKind::throttle) {
                throttle_end(static_cast<int>(c), at_start, r);
            } else if (kind == EndKind::open) {
                open_end(chain, at_start, r);
            } else if (kind == EndKind::exit && !chain.closed_exit) {
                exit_end(chain, r);
            } else if (kind == EndKind::wall || kind == EndKind::exit) {
                const auto f = duct_end(chain, at_start);
                const double a = std::sqrt(n_.gas.gamma * f.rt);
                const double p = f.rho * f.rt - f.rho * a * f.v;
                set_face(chain, at_start, {0.0, p, 0.0, 0.0, 0.0, f.rho}, 1.0);
            }
        }
    }
}

void RightHandSide::open_end(const Chain& chain, bool at_start, double* r) {
    const double gamma = n_.gas.gamma;
    const double h0 = gamma / (gamma - 1.0) * n_.source.rt;
    const auto c = ends::entry(duct_end(chain, at_start),
                               n_.source.pressure,
                               h0,
                               n_.source.fresh,
                               0.0,
                               n_.source.pressure,
                               gamma);
    set_face(chain, at_start, c, 1.0);
    const Layout& at = n_.layout;
    r[at.total(Layout::source_mass)] += c.mass;
    r[at.total(Layout::source_energy)] += c.mass * c.h0;
    r[at.total(Layout::source_fresh)] += c.mass * c.fresh;
}

void RightHandSide::throttle_end(int index, bool at_start, double* r) {
    const Chain& chain = n_.chains[static_cast<std::size_t>(index)];
    const double gamma = n_.gas.gamma;
    const double cd_a = at_start ? chain.start_effective_area : chain.end_effective_area;
    const auto f = duct_end(chain, at_start);
    const auto c = ends::orifice_end(
        f, n_.orifice, cd_a, n_.source.pressure, n_.source.rt, n_.source.fresh, gamma);
    // The jet leaves at duct velocity x area ratio, never faster than expansion to the duct
    // pressure allows.
    double beta = 1.0;
    if (chain.jet && c.mass > 0.0) {
        const double ratio = std::max(1.0, f.area / cd_a);
        const double x = std::min(std::max(1.0 - c.pressure / n_.source.pressure, 0.0), 1.0);
        const double fastest2 = 2.0 * gamma / (gamma - 1.0) * n_.source.rt *
                                (1.0 - arithmetic::pow(1.0 - x, (gamma - 1.0) / gamma));
        const double v2 = c.velocity * c.velocity + 1e-12;
        beta = std::max(1.0, std::min(ratio, std::sqrt(fastest2 / v2) + 1e-9));
    }
    set_face(chain, at_start, c, beta);
    const auto slot = 2 * static_cast<std::size_t>(index) + (at_start ? 0 : 1);
    jet_inflow_[slot] = beta - 1.0;
    const Layout& at = n_.layout;
    r[at.total(Layout::source_mass)] += c.mass;
    r[at.total(Layout::source_energy)] += c.mass * c.h0;
    r[at.total(Layout::source_fresh)] += c.mass * c.fresh;
    // As a gauge on both sides reads it; part of it comes back where the jet mixes out.
    r[at.total(Layout::throttle_loss)] += c.mass * (n_.source.pressure - c.pressure);
}

void RightHandSide::exit_end(const Chain& chain, double* r) {
    // K behind the runner, exit head included: p_b + rho v^2/2 - p_room = K rho v^2/2, with the
    // wave p_b = p_f - rho a (w - w_f), w the velocity out of the duct.
    const auto f = duct_end(chain, false);
    const double gamma = n_.gas.gamma;
    const double a = std::sqrt(gamma * f.rt);
    const double pf = f.rho * f.rt;
    const double z = f.rho * a;
    const double drive = pf - z * f.v - n_.room.pressure;
    const double head = std::abs(drive);
    const double loss = 0.5 * f.rho * std::max(chain.exit_loss - (drive > 0.0 ? 1.0 : -1.0), 0.0);
    const double speed = 2.0 * head / (z + std::sqrt(z * z + 4.0 * loss * head));
    const double w = drive > 0.0 ? speed : -speed;
    const double pb = pf - z * (w + f.v);
    const double rho_out = f.rho + (pb - pf) / (a * a);
    const double k = (gamma - 1.0) / gamma;
    const double rho = w > 0.0 ? rho_out : pb / n_.room.rt;
    const double h0 = w > 0.0 ? pb / rho_out / k + 0.5 * w * w : n_.room.rt / k;
    const ends::Crossing<double> c{
        -rho * w * f.area, pb, -w, h0, w > 0.0 ? f.y : n_.room.fresh, rho};
    set_face(chain, false, c, 1.0);
    const Layout& at = n_.layout;
    r[at.total(Layout::exit_mass)] -= c.mass;
    r[at.total(Layout::exit_energy)] -= c.mass * c.h0;
    r[at.total(Layout::exit_fresh)] -= c.mass * c.fresh;
    if (seen_ != nullptr) {
        seen_->exit_flow[static_cast<std::size_t>(&chain - n_.chains.data())] = -c.mass;
    }
}

}  // namespace plenair

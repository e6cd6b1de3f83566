#include "solver/network/right_hand_side.hpp"

#include <algorithm>
#include <cmath>

/// Runner mouths and passages: where one part gives air to another through a wall.
namespace plenair {

/// Weighted means of the gas over a footprint.
struct RightHandSide::Around {
    double p = 0, p0 = 0, rho = 0, u = 0, h0 = 0, y = 0;
};

RightHandSide::Around RightHandSide::around(const Footprint& f) const {
    const double k = n_.gas.gamma / (n_.gas.gamma - 1.0);
    Around a;
    for (std::size_t j = 0; j < f.weight.size(); ++j) {
        const auto c = static_cast<std::size_t>(f.first) + j;
        const double w = f.weight[j];
        const double head = 0.5 * u_[c] * u_[c];
        a.p += w * p_[c];
        a.p0 += w * (p_[c] + rho_[c] * head);
        a.rho += w * rho_[c];
        a.u += w * u_[c];
        a.h0 += w * (k * rt_[c] + head);
        a.y += w * y_[c];
    }
    return a;
}

/// Takes `mass` per time out of a footprint (negative: puts in). Leaving air carries each cell's
/// own enthalpy and (2 - theta) of its axial velocity; entering air brings h0 and fresh charge and
/// no axial momentum.
void RightHandSide::give(
    const Footprint& f, double mass, double velocity_factor, double h0, double fresh) {
    const double k = n_.gas.gamma / (n_.gas.gamma - 1.0);
    for (std::size_t j = 0; j < f.weight.size(); ++j) {
        const auto c = static_cast<std::size_t>(f.first) + j;
        const double m = mass * f.weight[j];
        s_mass_[c] -= m;
        if (mass > 0.0) {
            s_momentum_[c] -= m * velocity_factor * u_[c];
            s_energy_[c] -= m * (k * rt_[c] + 0.5 * u_[c] * u_[c]);
            s_fresh_[c] -= m * y_[c];
        } else {
            s_energy_[c] -= m * h0;
            s_fresh_[c] -= m * fresh;
        }
    }
}

namespace {

/// Axial velocities on both sides of an outflow of velocity `out` (flow over header area), and the
/// velocity head of the streams that approach it: (a^3 + b^3)/(a + b) of the two approaching
/// speeds.
struct Approach {
    double left, right, square, p0_correction;
};

Approach approach(double u, double out, double rho, double theta) {
    Approach v{u + 0.5 * out, u - 0.5 * out, 0.0, 0.0};
    const double a = std::max(v.left, 0.0);
    const double b = std::max(-v.right, 0.0);
    v.square = a * a - a * b + b * b;
    // Mean total pressure over the mouth against that just upstream, for the regain factor theta.
    const double mean_square = (v.left * v.left + v.left * v.right + v.right * v.right) / 3.0;
    v.p0_correction = 0.5 * (theta - 1.0) * rho * (v.square - mean_square);
    return v;
}

}  // namespace

void RightHandSide::tee_run_loss(const Mouth& mouth, const Around& at, double out) {
    // Gardel: static rise (V1^2 - V2^2)/2 - K_run V1^2/2 written as axial momentum taken by the
    // branch, m u_b = m (V1 + V2)/2 + rho A K_run V1^2/2, with K_run V1^2 = 0.03 V2^2 + 0.35 (V1 -
    // V2)^2
    // - 0.2 V2 (V1 - V2).
    const double left = at.u + 0.5 * out;
    const double right = at.u - 0.5 * out;
    const bool forward = at.u > 0.0;
    const double sign = forward ? 1.0 : -1.0;
    const double v1 = forward ? left : -right;
    const double v2 = std::max(forward ? right : -left, 0.0);
    const double dv = v1 - v2;
    const double loss = 0.03 * v2 * v2 + 0.35 * dv * dv - 0.2 * v2 * dv;
    const double momentum = at.rho * mouth.plenum.area * (out * at.u + sign * 0.5 * loss);
    for (std::size_t j = 0; j < mouth.plenum.weight.size(); ++j) {
        s_momentum_[static_cast<std::size_t>(mouth.plenum.first) + j] -=
            mouth.plenum.weight[j] * momentum;
    }
}

void RightHandSide::mouths(double* r) {
    const Model& model = n_.model;
    const double gamma = n_.gas.gamma;
    const Layout& layout = n_.layout;
    for (std::size_t i = 0; i < n_.mouths.size(); ++i) {
        const Mouth& mouth = n_.mouths[i];
        const Chain& chain = n_.chains[static_cast<std::size_t>(mouth.chain)];
        const auto f = duct_end(chain, true);
        const Around at = around(mouth.plenum);
        const double out = f.rho * f.v * mouth.area / (at.rho * mouth.plenum.area);
        const bool tee = model.mouth_law == MouthLaw::tee;
        const Approach v = approach(at.u, out, at.rho, tee ? 1.0 : model.regain);
        double drive = at.p0 - v.p0_correction;
        double k0 = mouth.entry_loss;
        double lost_head = model.crossflow_loss * v.square;
        if (tee) {
            // Gardel's branch loss, 90 degrees, in upstream velocity V and branch velocity w (q V =
            // a w); its w^2 part goes with the entry loss so that the end is solved in closed form.
            const double a = mouth.area_ratio;
            const double upstream = std::sqrt(v.square);
            const double w = std::max(f.v, 0.0);
            const double corner = 1.0 - 0.9 * std::sqrt(mouth.corner / a);
            k0 = 0.95 * a * a + (a * a + 0.4 - 0.1 * a) * corner;
            lost_head = 0.95 * v.square - 1.9 * a * upstream * w + 0.4 * (1.0 + a) * upstream * w;
        }
        drive -= 0.5 * at.rho * lost_head;
        const auto c = ends::entry(f, drive, at.h0, at.y, k0, drive, gamma);
        set_face(chain, true, c, 1.0);
        const bool tee_run = tee && c.mass > 0.0;
        give(mouth.plenum, c.mass, tee_run ? 0.0 : 2.0 - model.regain, c.h0, c.fresh);
        if (tee_run) {
            tee_run_loss(mouth, at, out);
        }
        if (c.mass > 0.0) {
            const double head = 0.5 * at.rho * (k0 * c.velocity * c.velocity + lost_head);
            r[layout.total(Layout::mouth_loss)] += c.mass * head;
            r[layout.total(Layout::mouth_flow)] += c.mass;
            r[layout.total(Layout::mouth_total)] +=
                c.mass * (c.pressure + 0.5 * at.rho * c.velocity * c.velocity);
        }
        if (seen_ != nullptr) {
            seen_->mouth_velocity[i] = c.velocity;
        }
    }
}

void RightHandSide::passages(const double* s, double* r) {
    const Layout& layout = n_.layout;
    const double theta = n_.model.regain;
    const double h_per_rt = n_.gas.gamma / (n_.gas.gamma - 1.0);
    for (std::size_t i = 0; i < n_.passages.size(); ++i) {
        const Passage& passage = n_.passages[i];
        const double m = s[layout.passage_flow() + static_cast<int>(i)];
        const auto side = [&](const Footprint& f, const Reservoir& room) {
            if (f.weight.empty()) {
                return Around{room.pressure,
                              room.pressure,
                              room.pressure / room.rt,
                              0.0,
                              h_per_rt * room.rt,
                              room.fresh};
            }
            return around(f);
        };
        const Around from = side(passage.from, passage.from_room);
        const Around to = side(passage.to, passage.to_room);
        double p_from = from.p;
        if (passage.upstream_static && !passage.from.weight.empty()) {
            const double out = m / (from.rho * passage.from.area);
            const Approach v = approach(from.u, out, from.rho, theta);
            p_from = from.p0 - v.p0_correction - 0.5 * from.rho * v.square;
        }
        const bool forward = m >= 0.0;
        const double dp = p_from - to.p;
        const double p_up = forward ? p_from : to.p;
        const double rho_up = forward ? from.rho : to.rho;
        const double x = std::min(std::max((forward ? dp : -dp) / p_up, 0.0), 1.0);
        const double size = std::abs(m);
        const auto& law = n_.discharges[static_cast<std::size_t>(
            forward ? passage.discharge : passage.discharge_reverse)];
        const double re = size * passage.hydraulic_diameter / (passage.area * n_.gas.viscosity);
        const double cd2 = law.cd_squared(x, re);
        const double k2 = cd2 * passage.area * passage.area * rho_up * n_.orifice.flow_factor(x);
        const double lost = m * size / k2;  // the rest of dp speeds the air up or slows it down
        r[layout.passage_flow() + static_cast<int>(i)] = (dp - lost) / passage.inertance;
        r[layout.passage_mass() + static_cast<int>(i)] = m;
        if (!passage.from.weight.empty()) {
            give(passage.from, m, 2.0 - theta, to.h0, to.y);
        }
        if (!passage.to.weight.empty()) {
            give(passage.to, -m, 2.0 - theta, from.h0, from.y);
        }
        const double h0 = forward ? from.h0 : to.h0;
        const double fresh = forward ? from.y : to.y;
        if (passage.source) {
            r[layout.total(Layout::source_mass)] += m;
            r[layout.total(Layout::source_energy)] += m * h0;
            r[layout.total(Layout::source_fresh)] += m * fresh;
            r[layout.total(Layout::throttle_loss)] += m * lost;
        } else if (passage.from.weight.empty()) {
            r[layout.total(Layout::source_mass)] += m;
            r[layout.total(Layout::source_energy)] += m * h0;
            r[layout.total(Layout::source_fresh)] += m * fresh;
        }
        if (passage.to.weight.empty()) {
            r[layout.total(Layout::exit_mass)] += m;
            r[layout.total(Layout::exit_energy)] += m * h0;
            r[layout.total(Layout::exit_fresh)] += m * fresh;
        }
        if (passage.slot) {
            r[layout.total(Layout::slot_flow)] += m;
            r[layout.total(Layout::slot_loss)] += m * lost;
        }
        if (seen_ != nullptr) {
            const double v = size / (rho_up * passage.area * std::sqrt(cd2));
            seen_->passage_mach[i] = v / std::sqrt(n_.gas.gamma * p_up / rho_up);
        }
    }
}

}  // namespace plenair

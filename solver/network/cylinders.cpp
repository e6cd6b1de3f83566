#include "solver/network/right_hand_side.hpp"

#include <algorithm>
#include <cmath>

/// Intake valves and the cylinders behind them.
namespace plenair {

namespace {

// An open exhaust valve equalises a small volume faster than a wave crosses a cell: near equal
// pressures the root of the orifice law is straightened below 0.2 % of the pressure, and the flow
// follows the law with the time that a wave needs through the exhaust port. Cycles repeat without
// the lag too; it moves total air by 1 to 2 % (docs/decisions/exhaust-flow-lag.md).
constexpr double exhaust_rounding = 2.0e-3;

}  // namespace

void RightHandSide::valves(const double* s, double* r) {
    const Layout& at = n_.layout;
    const double gamma = n_.gas.gamma;
    const CylinderModel& model = n_.cylinder;
    const auto row = static_cast<std::size_t>(node_ * at.cylinders);
    for (int i = 0; i < at.cylinders; ++i) {
        const auto c = static_cast<std::size_t>(i);
        const double mass = s[at.cylinder_mass() + i];
        const double y = std::min(std::max(s[at.cylinder_fresh() + i] / mass, 0.0), 1.0);
        const double offset = y * model.offset_fresh + (1.0 - y) * model.offset_burned;
        const double t = model.gas.temperature(s[at.cylinder_energy() + i] / mass - offset, y);
        cylinder_y_[c] = y;
        cylinder_r_[c] = model.gas.gas_constant(y);
        cylinder_t_[c] = t;
        cylinder_p_[c] = mass * cylinder_r_[c] * t / n_.crank.volume[row + c];
        cylinder_mass_in_[c] = cylinder_energy_in_[c] = cylinder_fresh_in_[c] = 0.0;
    }
    for (std::size_t v = 0; v < n_.valves.size(); ++v) {
        const ValveEnd& valve = n_.valves[v];
        const Chain& chain = n_.chains[static_cast<std::size_t>(valve.chain)];
        const auto c = static_cast<std::size_t>(valve.cylinder);
        const auto f = duct_end(chain, false);
        const double t = cylinder_t_[c];
        const double y = cylinder_y_[c];
        const double offset = y * model.offset_fresh + (1.0 - y) * model.offset_burned;
        const ends::BehindValve<double> behind{
            cylinder_p_[c], cylinder_r_[c] * t, model.gas.enthalpy(t, y) + offset, y};
        const auto x =
            ends::valve_end(f, n_.orifice, n_.crank.intake[row + c], behind, f.rt, f.y, gamma);
        set_face(chain, false, x, 1.0);
        cylinder_mass_in_[c] -= x.mass;
        cylinder_energy_in_[c] -= x.mass * x.h0;
        cylinder_fresh_in_[c] -= x.mass * x.fresh;
        const int iv = static_cast<int>(v);
        r[at.delivered_mass() + iv] = -x.mass;
        r[at.delivered_fresh() + iv] = -x.mass * x.fresh;
        if (x.mass < 0.0) {
            // Total pressure at the valve, flow-weighted: the port loss is its difference to the
            // mouth.
            r[at.total(Layout::port_flow)] -= x.mass;
            r[at.total(Layout::port_total)] -=
                x.mass * (x.pressure + 0.5 * f.rho * x.velocity * x.velocity);
        }
        if (seen_ != nullptr) {
            seen_->valve_flow[v] = -x.mass;
        }
    }
}

void RightHandSide::cylinders(const double* s, double* r) {
    const Layout& at = n_.layout;
    const CylinderModel& model = n_.cylinder;
    const CrankTable& crank = n_.crank;
    const auto row = static_cast<std::size_t>(node_ * at.cylinders);
    for (int i = 0; i < at.cylinders; ++i) {
        const auto c = static_cast<std::size_t>(i);
        const std::size_t j = row + c;
        const double p = cylinder_p_[c];
        const double t = cylinder_t_[c];
        const double y = cylinder_y_[c];
        const double mass = s[at.cylinder_mass() + i];
        const double fresh = s[at.cylinder_fresh() + i];
        const double offset = y * model.offset_fresh + (1.0 - y) * model.offset_burned;
        const double h = model.gas.enthalpy(t, y) + offset;
        // Exhaust valve to the stated back pressure; what comes back is burned gas at the stated
        // temperature.
        const double wanted = laws::orifice_mass_flow(n_.exhaust_orifice,
                                                      crank.exhaust[j],
                                                      p,
                                                      cylinder_r_[c] * t,
                                                      n_.exhaust.pressure,
                                                      n_.exhaust.rt,
                                                      exhaust_rounding);
        const double out = s[at.exhaust_flow() + i];
        r[at.exhaust_flow() + i] = (wanted - out) / model.exhaust_delay;
        const double h_exhaust = n_.exhaust_enthalpy;
        const double h_out = out > 0.0 ? h : h_exhaust;
        const double y_out = out > 0.0 ? y : 0.0;
        const double burned = std::max(fresh, 0.0) * crank.burn[j];
        const double released = burned * model.heat_per_air;
        const double rate = crank.volume_rate[j];
        double heat = 0.0;
        if (model.wall_heat) {
            const double motored_p = s[at.cylinder_motored() + i] / crank.motored[j];
            const double w = crank.piston[j] + crank.combustion_factor[j] /
                                                   (mass * cylinder_r_[c]) *
                                                   std::max(p - motored_p, 0.0);
            // h = 3.26 B^-0.2 p^0.8 T^-0.55 w^0.8 with p in kPa (Woschni 1967), one exponential for
            // all powers.
            const double film =
                model.woschni *
                arithmetic::exp(0.8 * arithmetic::log(0.001 * p * w) - 0.55 * arithmetic::log(t));
            heat = film * crank.wall_area[j] * (t - model.wall_temperature);
        }
        r[at.cylinder_mass() + i] = cylinder_mass_in_[c] - out;
        r[at.cylinder_energy() + i] =
            cylinder_energy_in_[c] - out * h_out + released - heat - p * rate;
        r[at.cylinder_fresh() + i] = cylinder_fresh_in_[c] - out * y_out - burned;
        // p V^k of the charge, followed while the intake valve is open: the motored pressure after
        // it closes.
        r[at.cylinder_motored() + i] =
            crank.open[j] * model.relax * (p * crank.motored[j] - s[at.cylinder_motored() + i]);
        r[at.total(Layout::exhaust_mass)] += out;
        r[at.total(Layout::exhaust_energy)] += out * h_out;
        r[at.total(Layout::exhaust_fresh)] += out * y_out;
        r[at.total(Layout::cylinder_heat)] += heat;
        r[at.total(Layout::released_heat)] += released;
        r[at.total(Layout::burned_air)] += burned;
        r[at.total(Layout::work)] += p * rate;
    }
}

}  // namespace plenair

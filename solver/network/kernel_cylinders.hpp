#pragma once

#include "solver/network/kernel.hpp"

/// Intake valves and the cylinders behind them.
namespace plenair {

// An open exhaust valve equalises a small volume faster than a wave crosses a cell: near equal
// pressures the root of the orifice law is straightened below 0.2 % of the pressure.
inline constexpr double exhaust_rounding = 2.0e-3;

/// Pressure, temperature and enthalpy of every cylinder.
template <class R>
void Kernel<R>::cylinder_states(const T* s) {
    using arithmetic::max;
    using arithmetic::min;
    const Layout& layout = n_.layout;
    const CylinderModel& model = n_.cylinder;
    const std::size_t row = index(node_ * layout.cylinders);
    for (int i = 0; i < layout.cylinders; ++i) {
        const std::size_t c = index(i) * Scratch<T>::c_count;
        const R inverse = 1.0 / get(s, layout.cylinder_mass() + i);
        const R y = min(max(get(s, layout.cylinder_fresh() + i) * inverse, R(0.0)), R(1.0));
        const R offset = y * model.offset_fresh + (1.0 - y) * model.offset_burned;
        const R energy = get(s, layout.cylinder_energy() + i) * inverse - offset;
        const R t = model.gas.temperature_of_step(energy, y);
        const R gas_constant = model.gas.gas_constant(y);
        set(w_.cylinder, c + Scratch<T>::c_y, y);
        set(w_.cylinder, c + Scratch<T>::c_r, gas_constant);
        set(w_.cylinder, c + Scratch<T>::c_t, t);
        set(w_.cylinder,
            c + Scratch<T>::c_p,
            get(s, layout.cylinder_mass() + i) * gas_constant * t *
                (1.0 / n_.crank.volume[row + index(i)]));
        // h = u + R T: the energy is known, no polynomial needed again.
        set(w_.cylinder, c + Scratch<T>::c_h, energy + gas_constant * t + offset);
        for (const auto k : {Scratch<T>::c_mass, Scratch<T>::c_energy, Scratch<T>::c_fresh}) {
            set(w_.cylinder, c + k, R(0.0));
        }
    }
}

template <class R>
void Kernel<R>::valves(T* r) {
    using arithmetic::max;
    const Layout& layout = n_.layout;
    const std::size_t row = index(node_ * layout.cylinders);
    for (std::size_t v = 0; v < n_.valves.size(); ++v) {
        const ValveEnd& valve = n_.valves[v];
        const auto chain = index(valve.chain);
        const double area = n_.crank.intake[row + index(valve.cylinder)];
        if (area <= 0.0) {
            closed_end(chain, false);
            continue;
        }
        const std::size_t c = index(valve.cylinder) * Scratch<T>::c_count;
        const auto f = duct_end(chain, false);
        const R gas_constant = at(w_.cylinder, c + Scratch<T>::c_r);
        const ends::BehindValve<R> behind{at(w_.cylinder, c + Scratch<T>::c_p),
                                          gas_constant * at(w_.cylinder, c + Scratch<T>::c_t),
                                          at(w_.cylinder, c + Scratch<T>::c_h),
                                          at(w_.cylinder, c + Scratch<T>::c_y)};
        const auto x = ends::valve_end(f, n_.orifice, R(area), behind, n_.gas.gamma);
        set_face(chain, false, x, R(1.0));
        add(w_.cylinder, c + Scratch<T>::c_mass, -x.mass);
        add(w_.cylinder, c + Scratch<T>::c_energy, -(x.mass * x.h0));
        add(w_.cylinder, c + Scratch<T>::c_fresh, -(x.mass * x.fresh));
        const int iv = static_cast<int>(v);
        put(r, layout.delivered_mass() + iv, -x.mass);
        put(r, layout.delivered_fresh() + iv, -(x.mass * x.fresh));
        // Total pressure at the valve, flow-weighted: the port loss is its difference to the mouth.
        const R in = max(-x.mass, R(0.0));
        add(r, layout.total(Layout::port_flow), in);
        add(r,
            layout.total(Layout::port_total),
            in * (x.pressure + 0.5 * f.rho * x.velocity * x.velocity));
        if constexpr (single) {
            if (seen_ != nullptr) {
                seen_->valve_flow[v] = -x.mass;
            }
        }
    }
}

/// Flow out through the exhaust valve to the stated back pressure, and the rate of its own state:
/// the flow follows the orifice law within the time that a wave needs through the exhaust port.
template <class R>
R Kernel<R>::exhaust_flow(const T* s, T* r, int i, std::size_t j) {
    const Layout& layout = n_.layout;
    const CylinderModel& model = n_.cylinder;
    const std::size_t c = index(i) * Scratch<T>::c_count;
    R wanted(0.0);
    if (n_.crank.exhaust[j] > 0.0) {
        const R rt = at(w_.cylinder, c + Scratch<T>::c_r) * at(w_.cylinder, c + Scratch<T>::c_t);
        wanted = laws::orifice_mass_flow(n_.exhaust_orifice,
                                         R(n_.crank.exhaust[j]),
                                         at(w_.cylinder, c + Scratch<T>::c_p),
                                         rt,
                                         R(n_.exhaust.pressure),
                                         R(n_.exhaust.rt),
                                         exhaust_rounding);
    }
    if (model.exhaust_delay <= 0.0) {
        put(r, layout.exhaust_flow() + i, R(0.0));
        return wanted;
    }
    const R out = get(s, layout.exhaust_flow() + i);
    put(r, layout.exhaust_flow() + i, (wanted - out) * (1.0 / model.exhaust_delay));
    return out;
}

template <class R>
void Kernel<R>::cylinders(const T* s, T* r, bool refresh) {
    using arithmetic::max;
    using arithmetic::select;
    const Layout& layout = n_.layout;
    const CylinderModel& model = n_.cylinder;
    const CrankTable& crank = n_.crank;
    const std::size_t row = index(node_ * layout.cylinders);
    for (int i = 0; i < layout.cylinders; ++i) {
        const std::size_t c = index(i) * Scratch<T>::c_count;
        const std::size_t j = row + index(i);
        const R p = at(w_.cylinder, c + Scratch<T>::c_p);
        const R t = at(w_.cylinder, c + Scratch<T>::c_t);
        const R h = at(w_.cylinder, c + Scratch<T>::c_h);
        const R y = at(w_.cylinder, c + Scratch<T>::c_y);
        const R out = exhaust_flow(s, r, i, j);
        // What comes back is burned gas at the stated temperature.
        const auto leaves = out > R(0.0);
        const R h_out = select(leaves, h, R(n_.exhaust_enthalpy));
        const R y_out = select(leaves, y, R(0.0));
        R burned(0.0);
        if (crank.burn[j] > 0.0) {
            burned = max(get(s, layout.cylinder_fresh() + i), R(0.0)) * crank.burn[j];
        }
        const R released = burned * model.heat_per_air;
        R heat(0.0);
        if (model.wall_heat) {
            if (refresh) {
                const R motored_p =
                    get(s, layout.cylinder_motored() + i) * (1.0 / crank.motored[j]);
                const R w = crank.piston[j] + crank.combustion_factor[j] /
                                                  (get(s, layout.cylinder_mass() + i) *
                                                   at(w_.cylinder, c + Scratch<T>::c_r)) *
                                                  max(p - motored_p, R(0.0));
                set(w_.film, index(i), laws::woschni_film(R(model.woschni), p, t, w));
            }
            heat = at(w_.film, index(i)) * crank.wall_area[j] * (t - model.wall_temperature);
        }
        const R work = p * crank.volume_rate[j];
        put(r, layout.cylinder_mass() + i, at(w_.cylinder, c + Scratch<T>::c_mass) - out);
        put(r,
            layout.cylinder_energy() + i,
            at(w_.cylinder, c + Scratch<T>::c_energy) - out * h_out + released - heat - work);
        put(r,
            layout.cylinder_fresh() + i,
            at(w_.cylinder, c + Scratch<T>::c_fresh) - out * y_out - burned);
        // p V^k of the charge, followed while the intake valve is open: the motored pressure after
        // it closes.
        if (crank.open[j] > 0.0) {
            put(r,
                layout.cylinder_motored() + i,
                model.relax * (p * crank.motored[j] - get(s, layout.cylinder_motored() + i)));
        }
        add(r, layout.total(Layout::exhaust_mass), out);
        add(r, layout.total(Layout::exhaust_energy), out * h_out);
        add(r, layout.total(Layout::exhaust_fresh), out * y_out);
        add(r, layout.total(Layout::cylinder_heat), heat);
        add(r, layout.total(Layout::released_heat), released);
        add(r, layout.total(Layout::burned_air), burned);
        add(r, layout.total(Layout::work), work);
    }
}

}  // namespace plenair

#pragma once

#include "solver/network/kernel_class.hpp"

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
    using N = Numbers<T>;
    const LaneCylinderGas<R> fresh = cylinder_gas(0);
    const LaneCylinderGas<R> burned = cylinder_gas(1);
    for (int i = 0; i < layout.cylinders; ++i) {
        const std::size_t c = index(i) * Scratch<T>::c_count;
        const R inverse = 1.0 / get(s, layout.cylinder_mass() + i);
        const R y = min(max(get(s, layout.cylinder_fresh() + i) * inverse, R(0.0)), R(1.0));
        const R offset = y * point(N::offset_fresh) + (1.0 - y) * point(N::offset_burned);
        const R energy = get(s, layout.cylinder_energy() + i) * inverse - offset;
        const R t = gas::CylinderGas::temperature_of_step(fresh, burned, energy, y);
        const R of_burned = point(N::gas_constant_burned);
        const R gas_constant = of_burned + y * (point(N::gas_constant_fresh) - of_burned);
        set(w_.cylinder, c + Scratch<T>::c_y, y);
        set(w_.cylinder, c + Scratch<T>::c_r, gas_constant);
        set(w_.cylinder, c + Scratch<T>::c_t, t);
        set(w_.cylinder,
            c + Scratch<T>::c_p,
            get(s, layout.cylinder_mass() + i) * gas_constant * t *
                (1.0 / crank(CrankColumn::volume, i)));
        // h = u + R T: the energy is known, no polynomial needed again.
        set(w_.cylinder, c + Scratch<T>::c_h, energy + gas_constant * t + offset);
        for (const auto k : {Scratch<T>::c_mass, Scratch<T>::c_energy, Scratch<T>::c_fresh}) {
            set(w_.cylinder, c + k, R(0.0));
        }
    }
}

template <class R>
void Kernel<R>::valves(T* r) {
    using arithmetic::select;
    const Layout& layout = n_.layout;
    for (std::size_t v = 0; v < n_.valves.size(); ++v) {
        const ValveEnd& valve = n_.valves[v];
        const auto chain = index(valve.chain);
        if (!acts(CrankColumn::intake, valve.cylinder)) {
            closed_end(chain, false);
            continue;
        }
        const std::size_t c = index(valve.cylinder) * Scratch<T>::c_count;
        const auto f = duct_end(chain, false);
        const R area = crank(CrankColumn::intake, valve.cylinder);
        const R gas_constant = at(w_.cylinder, c + Scratch<T>::c_r);
        const ends::OutsideGas<R> behind{at(w_.cylinder, c + Scratch<T>::c_p),
                                         gas_constant * at(w_.cylinder, c + Scratch<T>::c_t),
                                         at(w_.cylinder, c + Scratch<T>::c_h),
                                         at(w_.cylinder, c + Scratch<T>::c_y)};
        auto x = ends::opening_end(f, relations(), area, behind);
        if constexpr (!single) {
            if (own_ != nullptr) {
                // Open in others, closed here.
                const auto open = area > R(0.0);
                x.mass = select(open, x.mass, R(0.0));
                x.velocity = select(open, x.velocity, R(0.0));
                x.pressure = select(open, x.pressure, wall_pressure(f));
            }
        }
        set_face(chain, false, x, R(1.0));
        note_opening(chain, false, x, behind.p, R(1.0));
        add(w_.cylinder, c + Scratch<T>::c_mass, -x.mass);
        add(w_.cylinder, c + Scratch<T>::c_energy, -(x.mass * x.h0));
        add(w_.cylinder, c + Scratch<T>::c_fresh, -(x.mass * x.fresh));
        const int iv = static_cast<int>(v);
        put(r, layout.delivered_mass() + iv, -x.mass);
        put(r, layout.delivered_fresh() + iv, -(x.mass * x.fresh));
        if constexpr (single) {
            if (snapshot_ != nullptr) {
                snapshot_->valve_flow[v] = -x.mass;
            }
        }
    }
}

/// Flow out through the exhaust valve to the back pressure, constant or by the crank table, and the
/// rate of its own state: the flow follows the orifice law within the time that a wave needs
/// through the exhaust port.
/// theory T35
template <class R>
R Kernel<R>::exhaust_flow(const T* s, T* r, int i) {
    using arithmetic::select;
    const Layout& layout = n_.layout;
    const std::size_t c = index(i) * Scratch<T>::c_count;
    R wanted(0.0);
    if (acts(CrankColumn::exhaust, i)) {
        const R rt = at(w_.cylinder, c + Scratch<T>::c_r) * at(w_.cylinder, c + Scratch<T>::c_t);
        const R back = n_.cylinder.exhaust_varies ? crank(CrankColumn::exhaust_pressure, i)
                                                  : point(Numbers<T>::exhaust_pressure);
        wanted = laws::orifice_mass_flow(orifice(d_.exhaust_orifice),
                                         crank(CrankColumn::exhaust, i),
                                         at(w_.cylinder, c + Scratch<T>::c_p),
                                         rt,
                                         back,
                                         point(Numbers<T>::exhaust_rt),
                                         exhaust_rounding);
    }
    const R out = get(s, layout.exhaust_flow() + i);
    const R follows = point(Numbers<T>::inverse_exhaust_delay);
    put(r, layout.exhaust_flow() + i, (wanted - out) * follows);
    return select(follows > R(0.0), out, wanted);  // without a lag the law acts at once
}

template <class R>
void Kernel<R>::cylinders(const T* s, T* r, bool wall_laws) {
    using arithmetic::max;
    using arithmetic::select;
    const Layout& layout = n_.layout;
    using N = Numbers<T>;
    using Column = CrankColumn;
    for (int i = 0; i < layout.cylinders; ++i) {
        const std::size_t c = index(i) * Scratch<T>::c_count;
        const R p = at(w_.cylinder, c + Scratch<T>::c_p);
        const R t = at(w_.cylinder, c + Scratch<T>::c_t);
        const R h = at(w_.cylinder, c + Scratch<T>::c_h);
        const R y = at(w_.cylinder, c + Scratch<T>::c_y);
        const R out = exhaust_flow(s, r, i);
        // What comes back is burned gas at the stated temperature.
        const auto leaves = out > R(0.0);
        const R h_out = select(leaves, h, point(N::exhaust_enthalpy));
        const R y_out = select(leaves, y, R(0.0));
        R burned(0.0);
        if (acts(Column::burn, i)) {
            burned = max(get(s, layout.cylinder_fresh() + i), R(0.0)) * crank(Column::burn, i);
        }
        // theory T32
        const R released = burned * point(N::heat_per_air);
        R heat(0.0);
        if (n_.cylinder.wall_heat) {
            if (wall_laws) {
                const R motored_p =
                    get(s, layout.cylinder_motored() + i) * (1.0 / crank(Column::motored, i));
                const R w = crank(Column::piston, i) + crank(Column::combustion_factor, i) /
                                                           (get(s, layout.cylinder_mass() + i) *
                                                            at(w_.cylinder, c + Scratch<T>::c_r)) *
                                                           max(p - motored_p, R(0.0));
                // theory T33
                set(w_.film, index(i), laws::woschni_film(point(N::woschni), p, t, w));
            }
            heat = at(w_.film, index(i)) * crank(Column::wall_area, i) *
                   (t - point(N::wall_temperature));
        }
        // theory T31
        const R work = p * crank(Column::volume_rate, i);
        put(r, layout.cylinder_mass() + i, at(w_.cylinder, c + Scratch<T>::c_mass) - out);
        put(r,
            layout.cylinder_energy() + i,
            at(w_.cylinder, c + Scratch<T>::c_energy) - out * h_out + released - heat - work);
        put(r,
            layout.cylinder_fresh() + i,
            at(w_.cylinder, c + Scratch<T>::c_fresh) - out * y_out - burned);
        // p V^k of the charge, followed while the intake valve is open: the motored pressure after
        // it closes.
        // theory T34
        if (acts(Column::open, i)) {
            put(r,
                layout.cylinder_motored() + i,
                crank(Column::open, i) * point(N::relax) *
                    (p * crank(Column::motored, i) - get(s, layout.cylinder_motored() + i)));
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

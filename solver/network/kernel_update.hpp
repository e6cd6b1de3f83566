#pragma once

#include "solver/network/cell_rate.hpp"
#include "solver/network/kernel_class.hpp"

#include <utility>

/// A stage of a Runge-Kutta step for the cells of several variants: from the gas of one evaluation
/// straight to that of the next.
namespace plenair {

template <class R>
template <class Rate>
R Kernel<R>::advanced(const Stage& stage, int i, const T* start, T* sum, Rate rate) {
    R total = rate;
    if (stage.part == Part::first) {
        put(sum, i, rate);
    } else if (stage.part == Part::middle) {
        put(sum, i, get(sum, i) + 2.0 * rate);
    } else {
        total = rate + get(sum, i);
    }
    return get(start, i) + stage.length * total;
}

template <class R>
void Kernel<R>::put_gas(CellGas<T>& gas, int i, const Conserved& q) const {
    const std::size_t c = index(i);
    const R inverse = 1.0 / q.rho;
    const R u = q.rho_u * inverse;
    const R rt = point(Numbers<T>::gamma_less_one) * (q.rho_e * inverse - 0.5 * u * u);
    set(gas.rho, c, q.rho);
    set(gas.u, c, u);
    set(gas.flow, c, u * at(d_.section, c));
    set(gas.rt, c, rt);
    set(gas.y, c, q.rho_y * inverse);
    set(gas.p, c, q.rho * rt);
}

/// Sources are read and cleared in one go, while they are at hand; a runner has none.
template <class R>
template <bool with_sources>
CellBalance<R> Kernel<R>::balance(std::size_t j) {
    const R heat = at(w_.heat, j) * (at(d_.wall_rt, j) - at(w_.rt, j));
    const R force = drag(j);
    const R p = at(w_.p, j);
    const R inverse_volume = at(d_.inverse_volume, j);
    const R none(0.0);
    if constexpr (!with_sources) {
        return {none, none, none, none, force, heat, p, inverse_volume};
    }
    const CellBalance<R> c{at(w_.s_mass, j),
                           at(w_.s_momentum, j),
                           at(w_.s_energy, j),
                           at(w_.s_fresh, j),
                           force,
                           heat,
                           p,
                           inverse_volume};
    for (auto* v : {&w_.s_mass, &w_.s_momentum, &w_.s_energy, &w_.s_fresh}) {
        set(*v, j, none);
    }
    return c;
}

template <class R>
template <bool with_sources>
auto Kernel<R>::chain_update(std::size_t c, T* next, const T* start, T* sum, const Stage& stage)
    -> WallSums {
    const Layout& layout = n_.layout;
    const Chain& chain = n_.chains[c];
    WallSums sums{R(0.0), R(0.0)};
    CellFace<R> left{edge_flux(c, 0), at(d_.face_area, index(chain.first)), R(0.0)};
    for (int i = 0; i < chain.count; ++i) {
        const int cell = chain.first + i;
        const std::size_t j = index(cell);
        const bool last = i + 1 == chain.count;
        const CellFace<R> right{last ? edge_flux(c, 1) : interior_face(j + 1),
                                at(d_.face_area, j + 1),
                                chain.jet && !last ? at(w_.thrust, j + 1) : R(0.0)};
        const CellBalance<R> own = balance<with_sources>(j);
        sums.heat += own.heat;
        sums.loss -= at(w_.rho, j) * own.drag * at(w_.u, j);
        const CellRate<R> rate = cell_rate<with_sources>(left, right, own);
        const Conserved q{advanced(stage, layout.rho() + cell, start, sum, rate.rho),
                          advanced(stage, layout.rho_u() + cell, start, sum, rate.rho_u),
                          advanced(stage, layout.rho_e() + cell, start, sum, rate.rho_e),
                          advanced(stage, layout.rho_y() + cell, start, sum, rate.rho_y)};
        put_gas(w_.next, cell, q);
        if (stage.part == Part::last) {
            put(next, layout.rho() + cell, q.rho);
            put(next, layout.rho_u() + cell, q.rho_u);
            put(next, layout.rho_e() + cell, q.rho_e);
            put(next, layout.rho_y() + cell, q.rho_y);
        }
        left = right;
    }
    return sums;
}

template <class R>
void Kernel<R>::cell_update(T* next, const T* start, T* sum, T* r, const Stage& stage) {
    R wall_heat(0.0);
    R port_loss(0.0);
    for (std::size_t c = 0; c < n_.chains.size(); ++c) {
        if (n_.chains[c].end == EndKind::valve) {
            const WallSums sums = chain_update<false>(c, next, start, sum, stage);
            wall_heat += sums.heat;
            port_loss += sums.loss;
        } else {
            wall_heat += chain_update<true>(c, next, start, sum, stage).heat;
        }
    }
    add(r, n_.layout.total(Layout::wall_heat), wall_heat);
    // theory T46
    add(r, n_.layout.total(Layout::port_loss), port_loss);
    std::swap(static_cast<CellGas<T>&>(w_), w_.next);
}

template <class R>
void Kernel<R>::note_speeds(T* speed) const {
    using arithmetic::abs;
    using arithmetic::max;
    using arithmetic::sqrt;
    for (std::size_t n = 0; n < n_.chains.size(); ++n) {
        const Chain& chain = n_.chains[n];
        R largest = get(speed, static_cast<int>(n));
        for (std::size_t i = index(chain.first); i < index(chain.first + chain.count); ++i) {
            largest = max(largest, abs(at(w_.u, i)) + sqrt(gamma() * at(w_.rt, i)));
        }
        put(speed, static_cast<int>(n), largest);
    }
}

}  // namespace plenair

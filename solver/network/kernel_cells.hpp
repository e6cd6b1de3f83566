#pragma once

#include "solver/network/cell_rate.hpp"
#include "solver/network/kernel_class.hpp"

/// The kernel's passes over cells and faces.
namespace plenair {

/// Runner area over the valve's area from which on the end of a runner is a wall: at 5 % opening.
inline constexpr double wall_like = 20.0;
/// Largest speed at which the profile of a jet is carried [m/s]: keeps the step, and does not
/// change the steady profile.
inline constexpr double fastest_jet = 300.0;

template <class R>
void Kernel<R>::primitives(const T* s) {
    const Layout& layout = n_.layout;
    if constexpr (single) {
        loops_->primitives(
            {s + layout.rho(),
             s + layout.rho_u(),
             s + layout.rho_e(),
             s + layout.rho_y(),
             d_.section.data()},
            {w_.rho.data(), w_.u.data(), w_.flow.data(), w_.rt.data(), w_.p.data(), w_.y.data()},
            layout.cells,
            n_.gas.gamma);
        for (const Chain& chain : n_.chains) {
            if (chain.end == EndKind::valve) {
                continue;  // a runner gives nothing through its wall
            }
            for (auto* v : {&w_.s_mass, &w_.s_momentum, &w_.s_energy, &w_.s_fresh}) {
                std::fill_n(v->data() + chain.first, chain.count, T(0));
            }
        }
    } else {
        for (const Chain& chain : n_.chains) {
            for (int i = chain.first; i < chain.first + chain.count; ++i) {
                put_gas(w_,
                        i,
                        {get(s, layout.rho() + i),
                         get(s, layout.rho_u() + i),
                         get(s, layout.rho_e() + i),
                         get(s, layout.rho_y() + i)});
            }
        }
    }
}

/// Nothing passes: a wall, or a valve that is closed in every variant.
template <class R>
bool Kernel<R>::is_wall(const Chain& chain, bool at_start) const {
    const EndKind kind = at_start ? chain.start : chain.end;
    return kind == EndKind::wall || (kind == EndKind::exit && chain.closed_exit) ||
           (kind == EndKind::valve && !acts(CrankColumn::intake, chain.cylinder));
}

/// 1 where a valve is closed, 0 where it is open, between them while it opens: a function of crank
/// angle.
/// theory T60
template <class R>
R Kernel<R>::closure(const Chain& chain) const {
    using arithmetic::max;
    const R inverse_area = at(d_.inverse_face_area, index(chain.first + chain.count));
    return max(1.0 - wall_like * crank(CrankColumn::intake, chain.cylinder) * inverse_area, R(0.0));
}

template <class R>
void Kernel<R>::ghosts() {
    using arithmetic::max;
    using arithmetic::select;
    for (std::size_t c = 0; c < n_.chains.size(); ++c) {
        const Chain& chain = n_.chains[c];
        for (std::size_t side = 0; side < 2; ++side) {
            const int step = side == 0 ? 1 : -1;
            const int edge = side == 0 ? chain.first : chain.first + chain.count - 1;
            const bool wall = is_wall(chain, side == 0);
            const bool valve = !wall && side == 1 && chain.end == EndKind::valve;
            const R closed = valve ? closure(chain) : R(0.0);
            // Behind a shock in the end cells a straight line through the velocities means nothing:
            // a compressed end cell would draw gas in. Above a pressure ratio of 1.9 from cell to
            // cell the velocity keeps to its cell more and more; below, not a bit changes.
            constexpr double free = 0.3;  // of the sum of both pressures
            const R end_p = at(w_.p, index(edge));
            const R next_p = at(w_.p, index(edge + step));
            const R most = R(free) * (end_p + next_p);
            const R kept = R(1.0) - most / max(max(next_p - end_p, end_p - next_p), most);
            const auto fill = [&](Aligned<T>& w, bool is_positive) {
                const R w0 = at(w, index(edge));
                const R w1 = at(w, index(edge + step));
                const R w2 = at(w, index(edge + 2 * step));
                reconstruction::EndValues<R> v;
                if (wall) {
                    v = reconstruction::mirror_values(w0, w1, w2, is_positive);
                } else {
                    v = reconstruction::end_values(w0, w1, w2, is_positive);
                }
                if (valve) {
                    const auto shut = reconstruction::mirror_values(w0, w1, w2, is_positive);
                    v = reconstruction::blend(v, shut, closed);
                    if constexpr (!single) {
                        // To the last bit what it is where the valves of all variants are closed.
                        const auto ajar = closed < R(1.0);
                        v = {select(ajar, v.face, shut.face),
                             select(ajar, v.ghost1, shut.ghost1),
                             select(ajar, v.ghost2, shut.ghost2)};
                    }
                }
                if (!is_positive) {
                    v.face = v.face + kept * (w0 - v.face);
                    v.ghost1 = v.ghost1 + kept * (w0 - v.ghost1);
                    v.ghost2 = v.ghost2 + kept * (w0 - v.ghost2);
                }
                set(w, index(edge - step), v.ghost1);
                set(w, index(edge - 2 * step), v.ghost2);
                return v.face;
            };
            const std::size_t end = 4 * (2 * c + side);
            set(w_.end_state, end, fill(w_.rho, true));
            const std::size_t face = index(side == 0 ? edge : edge + 1);
            set(w_.end_state, end + 1, fill(w_.flow, false) * at(d_.inverse_face_area, face));
            set(w_.end_state, end + 2, fill(w_.p, true));
            const R y = at(w_.y, index(edge));
            set(w_.y, index(edge - step), y);
            set(w_.y, index(edge - 2 * step), wall ? at(w_.y, index(edge + step)) : y);
            set(w_.end_state, end + 3, y);
        }
    }
}

/// Part of a face's jet that comes from the start: jets from both ends meet in the middle.
template <class R>
double Kernel<R>::share_from_start(const Chain& chain, int face) {
    const bool from_start = chain.start == EndKind::throttle;
    if (from_start && chain.end == EndKind::throttle) {
        return 2 * face < chain.count ? 1.0 : 2 * face == chain.count ? 0.5 : 0.0;
    }
    return from_start ? 1.0 : 0.0;
}

template <class R>
void Kernel<R>::jets(const T* s, T* r) {
    using arithmetic::abs;
    using arithmetic::min;
    const Layout& layout = n_.layout;
    if (layout.jets == 0) {
        return;
    }
    for (std::size_t c = 0; c < n_.chains.size(); ++c) {
        const Chain& chain = n_.chains[c];
        if (!chain.jet) {
            continue;
        }
        for (int i = 0; i + 1 < chain.count; ++i) {
            set(w_.thrust, index(chain.first + i + 1), get(s, layout.jet() + chain.first + i));
        }
        // The excess is the jet's own: a wave moves jet and duct alike and leaves it as it is. It
        // travels away from its throttle and mixes out over Lm: exact in steady flow.
        // theory T10
        const R first = at(w_.jet_inflow, 2 * c);
        const R last = at(w_.jet_inflow, 2 * c + 1);
        const R rate = at(d_.inverse_dx, c) * at(d_.jet_rate, c);
        const R decay = at(d_.jet_decay, c);
        for (int i = 0; i + 1 < chain.count; ++i) {
            const std::size_t f = index(chain.first + i + 1);
            const R u = 0.5 * (at(w_.u, f - 1) + at(w_.u, f));
            const R rho = 0.5 * (at(w_.rho, f - 1) + at(w_.rho, f));
            const R own = at(w_.thrust, f);
            const R before = i == 0 ? first : at(w_.thrust, f - 1);
            const R behind = i + 2 == chain.count ? last : at(w_.thrust, f + 1);
            const R share(share_from_start(chain, i + 1));
            const R upwind = share * before + (1.0 - share) * behind;
            // By the mean of what is here and what arrives: a jet enters still air at its own
            // speed.
            const R strength = 0.5 * (abs(own) + abs(upwind)) * at(d_.inverse_face_area, f) / rho;
            const R speed = min(laws::jet_speed(u, strength), R(fastest_jet));
            put(r, layout.jet() + chain.first + i, speed * rate * (decay * upwind - own));
        }
    }
}

/// Flux of a face inside a chain, straight from the cells.
template <class R>
FaceFlux<R> Kernel<R>::interior_face(std::size_t f) const {
    const auto both = [&](const Aligned<T>& w, R& left, R& right, auto&& value) {
        const R a = at(w, f - 3);
        const R b = at(w, f - 2);
        const R c = at(w, f - 1);
        const R d = at(w, f);
        const R e = at(w, f + 1);
        const R g = at(w, f + 2);
        left = value(a, b, c, d, e);
        right = value(g, e, d, c, b);
    };
    const auto smooth = [](R a, R b, R c, R d, R e) {
        return reconstruction::upwind5(a, b, c, d, e);
    };
    const auto carried = [](R a, R b, R c, R d, R e) {
        return reconstruction::bounded5(a, b, c, d, e);
    };
    FaceState<R> l;
    FaceState<R> r;
    both(w_.rho, l.rho, r.rho, smooth);
    both(w_.flow, l.u, r.u, smooth);
    const R inverse_area = at(d_.inverse_face_area, f);
    l.u = l.u * inverse_area;
    r.u = r.u * inverse_area;
    both(w_.p, l.p, r.p, smooth);
    l.rho = reconstruction::near_mean(l.rho, at(w_.rho, f - 1));
    r.rho = reconstruction::near_mean(r.rho, at(w_.rho, f));
    l.p = reconstruction::near_mean(l.p, at(w_.p, f - 1));
    r.p = reconstruction::near_mean(r.p, at(w_.p, f));
    both(w_.y, l.y, r.y, carried);
    return face_flux(l, r, gas());
}

template <class R>
FaceFlux<R> Kernel<R>::edge_flux(std::size_t chain, std::size_t side) const {
    const std::size_t e = 5 * (2 * chain + side);
    return {at(w_.edge, e),
            at(w_.edge, e + 1),
            at(w_.edge, e + 2),
            at(w_.edge, e + 3),
            at(w_.edge, e + 4)};
}

template <class R>
void Kernel<R>::apply_edges() {
    for (std::size_t c = 0; c < n_.chains.size(); ++c) {
        const Chain& chain = n_.chains[c];
        for (const std::size_t side : {0u, 1u}) {
            const std::size_t f = index(side == 0 ? chain.first : chain.first + chain.count);
            const FaceFlux<R> flux = edge_flux(c, side);
            set(w_.mass, f, flux.mass);
            set(w_.carried, f, flux.carried);
            set(w_.pressure, f, flux.pressure);
            set(w_.energy, f, flux.energy);
            set(w_.fresh, f, flux.fresh);
        }
    }
}

/// Force of the wall on the gas of a cell [N].
template <class R>
R Kernel<R>::drag(std::size_t j) const {
    using arithmetic::abs;
    const R u = at(w_.u, j);
    return (at(w_.drag, j) * at(w_.rho, j) * abs(u) + at(w_.viscous, j)) * u;
}

template <class R>
void Kernel<R>::cell_rates(T* r) {
    const Layout& layout = n_.layout;
    const FaceArrays fluxes{
        w_.mass.data(), w_.carried.data(), w_.pressure.data(), w_.energy.data(), w_.fresh.data()};
    // Faces between two chains compute on ghosts and are never used: one straight loop is faster.
    loops_->faces(
        {w_.rho.data(), w_.flow.data(), w_.p.data(), w_.y.data(), d_.inverse_face_area.data()},
        fluxes,
        3,
        layout.cells - 2,
        n_.gas.gamma);
    apply_edges();
    loops_->rates(fluxes,
                  {w_.s_mass.data(),
                   w_.s_momentum.data(),
                   w_.s_energy.data(),
                   w_.s_fresh.data(),
                   w_.drag.data(),
                   w_.viscous.data(),
                   w_.heat.data(),
                   d_.wall_rt.data(),
                   w_.rho.data(),
                   w_.u.data(),
                   w_.rt.data(),
                   w_.p.data(),
                   w_.thrust.data(),
                   d_.face_area.data(),
                   d_.inverse_volume.data()},
                  {r + layout.rho(), r + layout.rho_u(), r + layout.rho_e(), r + layout.rho_y()},
                  layout.cells);
    double heat = 0.0;
    for (const Chain& chain : n_.chains) {
        if (chain.has_heat) {
            for (int i = chain.first; i < chain.first + chain.count; ++i) {
                const std::size_t c = index(i);
                heat += w_.heat[c] * (d_.wall_rt[c] - w_.rt[c]);
            }
        }
    }
    r[layout.total(Layout::wall_heat)] += heat;
    double loss = 0.0;
    for (std::size_t c = 0; c < n_.chains.size(); ++c) {
        const Chain& chain = n_.chains[c];
        if (chain.has_friction && chain.end == EndKind::valve) {
            const double before = loss;
            for (int i = chain.first; i < chain.first + chain.count; ++i) {
                loss -= w_.rho[index(i)] * drag(index(i)) * w_.u[index(i)];
            }
            if (snapshot_ != nullptr) {
                snapshot_->wall_loss[c] = loss - before;
            }
        }
    }
    // theory T46
    r[layout.total(Layout::port_loss)] += loss;
}

}  // namespace plenair

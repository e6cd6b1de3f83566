#pragma once

#include "solver/network/kernel_class.hpp"

/// Ends of chains: walls, open ends, throttles, bench exits.
namespace plenair {

/// Mach number at which an inflow rules the ghosts' entropy half; a blend, since a switch would
/// jitter.
inline constexpr double inflow_mach = 0.005;

template <class R>
ends::DuctEnd<R> Kernel<R>::duct_end(std::size_t chain, bool at_start) const {
    const std::size_t end = 4 * (2 * chain + (at_start ? 0 : 1));
    const Chain& c = n_.chains[chain];
    const std::size_t face = index(at_start ? c.first : c.first + c.count);
    const R u = at(w_.end_state, end + 1);
    const R rho = at(w_.end_state, end);
    const R p = at(w_.end_state, end + 2);
    return {rho, at_start ? u : -u, p / rho, p, at(w_.end_state, end + 3), at(d_.face_area, face)};
}

template <class R>
void Kernel<R>::set_face(std::size_t chain, bool at_start, const ends::Crossing<R>& c, R beta) {
    using arithmetic::max;
    using arithmetic::select;
    const Chain& part = n_.chains[chain];
    const std::size_t face = index(at_start ? part.first : part.first + part.count);
    const std::size_t e = 5 * (2 * chain + (at_start ? 0 : 1));
    const double sign = at_start ? 1.0 : -1.0;
    const R per_area = c.mass * at(d_.inverse_face_area, face);
    set(w_.edge, e, sign * per_area);
    set(w_.edge, e + 1, beta * per_area * c.velocity);
    set(w_.edge, e + 2, c.pressure);
    set(w_.edge, e + 3, sign * per_area * c.h0);
    set(w_.edge, e + 4, sign * per_area * c.fresh);
    set(w_.thrust, face, R(0.0));
    // Gas that comes in brings its entropy and what it is: the ghosts carry both, or the first
    // faces would look downstream.
    const R a2 = gamma() * c.pressure / c.rho;
    const R square = c.velocity * c.velocity;
    const R inflow =
        select(c.velocity > R(0.0), square / (square + a2 * (inflow_mach * inflow_mach)), R(0.0));
    const R inverse_a2 = 1.0 / a2;
    if constexpr (single) {
        if (snapshot_ != nullptr) {
            const std::size_t end = 2 * chain + (at_start ? 0 : 1);
            snapshot_->end_flow[end] = c.mass;
            snapshot_->end_mach[end] = c.velocity / std::sqrt(a2);
        }
    }
    const int edge = at_start ? part.first : part.first + part.count - 1;
    for (const int g : {1, 2}) {
        const std::size_t ghost = index(at_start ? edge - g : edge + g);
        const R rho = c.rho + (at(w_.p, ghost) - c.pressure) * inverse_a2;
        const R own = at(w_.rho, ghost);
        set(w_.rho, ghost, own + inflow * (max(rho, 0.3 * c.rho) - own));
        const R fresh = at(w_.y, ghost);
        set(w_.y, ghost, fresh + inflow * (c.fresh - fresh));
    }
}

template <class R>
void Kernel<R>::boundary_faces(T* r) {
    for (std::size_t c = 0; c < n_.chains.size(); ++c) {
        const Chain& chain = n_.chains[c];
        for (const bool at_start : {true, false}) {
            const EndKind kind = at_start ? chain.start : chain.end;
            if (kind == EndKind::throttle) {
                throttle_end(c, at_start, r);
            } else if (kind == EndKind::open) {
                open_end(c, at_start, r);
            } else if (kind == EndKind::exit && !chain.closed_exit) {
                exit_end(c, at_start, r);
            } else if (kind == EndKind::wall || kind == EndKind::exit) {
                closed_end(c, at_start);
            }
        }
    }
}

template <class R>
R Kernel<R>::wall_pressure(const ends::DuctEnd<R>& f) const {
    return ends::arriving_wave(f, relations()).closed;
}

template <class R>
void Kernel<R>::closed_end(std::size_t chain, bool at_start) {
    const R p = wall_pressure(duct_end(chain, at_start));
    const std::size_t e = 5 * (2 * chain + (at_start ? 0 : 1));
    for (const std::size_t k : {0u, 1u, 3u, 4u}) {
        set(w_.edge, e + k, R(0.0));
    }
    set(w_.edge, e + 2, p);
    const Chain& part = n_.chains[chain];
    set(w_.thrust, index(at_start ? part.first : part.first + part.count), R(0.0));
}

template <class R>
void Kernel<R>::count_source(T* r, R mass, R h0, R fresh) {
    const Layout& layout = n_.layout;
    add(r, layout.total(Layout::source_mass), mass);
    add(r, layout.total(Layout::source_energy), mass * h0);
    add(r, layout.total(Layout::source_fresh), mass * fresh);
}

template <class R>
void Kernel<R>::count_exit(T* r, R mass, R h0, R fresh) {
    const Layout& layout = n_.layout;
    add(r, layout.total(Layout::exit_mass), mass);
    add(r, layout.total(Layout::exit_energy), mass * h0);
    add(r, layout.total(Layout::exit_fresh), mass * fresh);
}

template <class R>
void Kernel<R>::open_end(std::size_t chain, bool at_start, T* r) {
    const R h0 = enthalpy_factor() * point(Numbers<T>::source_rt);
    const auto f = duct_end(chain, at_start);
    const auto laws = relations();
    const auto c = ends::entry(f,
                               laws,
                               ends::arriving_wave(f, laws),
                               point(Numbers<T>::source_pressure),
                               h0,
                               point(Numbers<T>::source_fresh),
                               at(d_.open_loss, chain));
    set_face(chain, at_start, c, R(1.0));
    count_source(r, c.mass, c.h0, c.fresh);
}

template <class R>
void Kernel<R>::throttle_end(std::size_t chain, bool at_start, T* r) {
    using arithmetic::max;
    using arithmetic::min;
    using arithmetic::select;
    using arithmetic::sqrt;
    const R cd_a = at(at_start ? d_.start_area : d_.end_area, chain);
    const auto f = duct_end(chain, at_start);
    const R p0 = point(Numbers<T>::source_pressure);
    const R rt0 = point(Numbers<T>::source_rt);
    const ends::OutsideGas<R> source{
        p0, rt0, enthalpy_factor() * rt0, point(Numbers<T>::source_fresh)};
    const Chain& part = n_.chains[chain];
    const bool diffuser = (at_start ? part.start_diffuser : part.end_diffuser) > 1.0;
    const R stretch = at(at_start ? d_.start_diffuser : d_.end_diffuser, chain);
    const auto c = diffuser ? ends::opening_end(f, relations(), cd_a, source, stretch)
                            : ends::opening_end(f, relations(), cd_a, source);
    // The jet leaves at duct velocity x area ratio, never faster than expansion to the duct
    // pressure allows.
    // theory T9
    R beta(1.0);
    if (part.jet) {
        const R ratio = max(f.area / cd_a, R(1.0));
        const R x = max(1.0 - c.pressure / p0, R(0.0));
        const R fastest2 = (2.0 * enthalpy_factor() * rt0) * x * expansion(d_, min(x, R(0.9)));
        const R v2 = c.velocity * c.velocity + 1e-12;
        beta = select(c.mass > R(0.0), max(min(ratio, sqrt(fastest2 / v2) + 1e-9), R(1.0)), R(1.0));
    }
    set_face(chain, at_start, c, beta);
    note_opening(chain, at_start, c, p0, stretch);
    set(w_.jet_inflow, 2 * chain + (at_start ? 0 : 1), c.mass * c.velocity * (beta - 1.0));
    count_source(r, c.mass, c.h0, c.fresh);
    // As a gauge on both sides reads it; part of it comes back where the jet mixes out.
    // theory T43
    add(r, n_.layout.total(Layout::throttle_loss), c.mass * (p0 - c.pressure));
}

template <class R>
void Kernel<R>::exit_end(std::size_t chain, bool at_start, T* r) {
    const R room_rt = point(Numbers<T>::room_rt);
    const ends::OutsideGas<R> room{at(d_.exit_pressure, chain),
                                   room_rt,
                                   enthalpy_factor() * room_rt,
                                   point(Numbers<T>::room_fresh)};
    const auto c =
        ends::exit_end(duct_end(chain, at_start), relations(), at(d_.exit_loss, chain), room);
    set_face(chain, at_start, c, R(1.0));
    count_exit(r, -c.mass, c.h0, c.fresh);
}

/// What an opening costs, and how far the fall of pressure over it goes to the one at which it
/// chokes, from the total pressure before it to the static one behind it; `diffuser` is
/// 1/(1 - recovery).
template <class R>
void Kernel<R>::note_opening(
    std::size_t chain, bool at_start, const ends::Crossing<R>& c, R outside, R diffuser) {
    if constexpr (single) {
        if (snapshot_ != nullptr) {
            const double choked_x = orifice(d_.orifice).choked_x;
            const double mach2 = c.velocity * c.velocity * c.rho / (gamma() * c.pressure);
            const double x = c.mass > 0.0
                                 ? (1.0 - c.pressure / outside) * diffuser
                                 : 1.0 - outside / (c.pressure * relations().duct.rise(mach2));
            snapshot_->end_choke[2 * chain + (at_start ? 0 : 1)] = x / choked_x;
            snapshot_->end_loss[2 * chain + (at_start ? 0 : 1)] = c.mass * (outside - c.pressure);
        }
    } else {
        (void)chain;
        (void)at_start;
        (void)c;
        (void)outside;
        (void)diffuser;
    }
}

}  // namespace plenair

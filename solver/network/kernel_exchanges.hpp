#pragma once

#include "solver/network/kernel_class.hpp"

/// Runner mouths and passages: where one part gives air to another through a wall.
namespace plenair {

/// Weighted means of the gas over a footprint.
template <class R>
auto Kernel<R>::adjacent_gas(const Footprint& f, std::size_t footprint) const -> AdjacentGas {
    const R k = enthalpy_factor();
    const std::size_t first = index(f.first);
    const auto cell = [&](std::size_t c) {
        const R u = at(w_.u, c);
        const R p = at(w_.p, c);
        const R rho = at(w_.rho, c);
        const R head = 0.5 * u * u;
        return AdjacentGas{p, p + rho * head, rho, u, k * at(w_.rt, c) + head, at(w_.y, c)};
    };
    if (f.weight.size() == 1) {
        return cell(first);
    }
    AdjacentGas sum{R(0.0), R(0.0), R(0.0), R(0.0), R(0.0), R(0.0)};
    const std::size_t weights = index(d_.weight_at[footprint]);
    for (std::size_t j = 0; j < f.weight.size(); ++j) {
        const R w = at(d_.weight, weights + j);
        const AdjacentGas a = cell(first + j);
        sum.p += w * a.p;
        sum.p0 += w * a.p0;
        sum.rho += w * a.rho;
        sum.u += w * a.u;
        sum.h0 += w * a.h0;
        sum.y += w * a.y;
    }
    return sum;
}

/// Air at rest behind a side of a passage, numbered as the footprints are.
template <class R>
auto Kernel<R>::room_gas(std::size_t side) const -> AdjacentGas {
    const std::size_t room = side * Numbers<T>::room_count;
    const R p = at(d_.rooms, room);
    return {p, p, at(d_.rooms, room + 1), R(0.0), at(d_.rooms, room + 2), at(d_.rooms, room + 3)};
}

/// Takes `mass` per time out of a footprint (negative: puts in). Leaving air carries each cell's
/// own enthalpy and (2 - theta) of its axial velocity; entering air brings h0 and fresh charge and
/// no axial momentum.
/// theory T5, T8
template <class R>
void Kernel<R>::exchange(
    const Footprint& f, std::size_t footprint, R mass, R velocity_factor, R h0, R fresh) {
    using arithmetic::max;
    using arithmetic::min;
    const R k = enthalpy_factor();
    const R out = max(mass, R(0.0));
    const R in = min(mass, R(0.0));
    const std::size_t weights = index(d_.weight_at[footprint]);
    const bool whole = f.weight.size() == 1;
    for (std::size_t j = 0; j < f.weight.size(); ++j) {
        const std::size_t c = index(f.first) + j;
        const R weight = whole ? R(1.0) : at(d_.weight, weights + j);
        const R w_out = weight * out;
        const R w_in = weight * in;
        const R u = at(w_.u, c);
        add(w_.s_mass, c, -(w_out + w_in));
        add(w_.s_momentum, c, -(w_out * velocity_factor * u));
        add(w_.s_energy, c, -(w_out * (k * at(w_.rt, c) + 0.5 * u * u) + w_in * h0));
        add(w_.s_fresh, c, -(w_out * at(w_.y, c) + w_in * fresh));
    }
}

/// Gardel: static rise (V1^2 - V2^2)/2 - K_run V1^2/2 written as axial momentum taken by the
/// branch, m u_b = m (V1 + V2)/2 + rho A K_run V1^2/2; none while air comes back.
/// theory T25
template <class R>
void Kernel<R>::tee_run_loss(
    const Mouth& mouth, std::size_t i, const AdjacentGas& beside, R out, R mass) {
    using arithmetic::max;
    using arithmetic::select;
    // Each side by what arrives there: a branch fed from both sides takes the difference, so that
    // nothing jumps where the stream turns.
    const R left = beside.u + 0.5 * out;
    const R right = beside.u - 0.5 * out;
    const R none(0.0);
    const R forward = laws::gardel_run_head(max(left, none), max(right, none));
    const R backward = laws::gardel_run_head(max(-right, none), max(-left, none));
    const R momentum =
        select(mass > none,
               beside.rho * at(d_.plenum_area, i) * (out * beside.u + 0.5 * (forward - backward)),
               none);
    const std::size_t weights = index(d_.weight_at[2 * n_.passages.size() + i]);
    for (std::size_t j = 0; j < mouth.plenum.weight.size(); ++j) {
        add(w_.s_momentum, index(mouth.plenum.first) + j, -(at(d_.weight, weights + j) * momentum));
    }
}

/// Cotangent of half the angle between a runner and the stream that goes on behind it: a stream
/// against x sees the other angle, and one that is fed from both sides takes each by its speed.
template <class R>
R Kernel<R>::half_cotangent(std::size_t i, const Approach<R>& v) const {
    using arithmetic::max;
    const R one(1.0);
    const R none(0.0);
    if (!n_.slanted) {
        return one;
    }
    const R forward = max(v.left, none);
    const R backward = max(-v.right, none);
    const R t = at(d_.half_cotangent, i);
    return one + (forward * (t - one) + backward * (one / t - one)) / (forward + backward + 1e-30);
}

/// Air that comes back through a slanted runner brings its momentum along x. @param pushed  mass
/// flow times velocity, both out of the plenum: positive either way
/// theory T26
template <class R>
void Kernel<R>::joining_momentum(const Mouth& mouth, std::size_t i, R pushed, R mass) {
    using arithmetic::select;
    const R none(0.0);
    const R momentum = select(mass < none, -pushed * at(d_.along, i), none);
    const std::size_t weights = index(d_.weight_at[2 * n_.passages.size() + i]);
    for (std::size_t j = 0; j < mouth.plenum.weight.size(); ++j) {
        add(w_.s_momentum, index(mouth.plenum.first) + j, at(d_.weight, weights + j) * momentum);
    }
}

template <class R>
void Kernel<R>::mouths(T* r, bool peaks) {
    using arithmetic::max;
    using arithmetic::select;
    using arithmetic::sqrt;
    const Layout& layout = n_.layout;
    const bool tee = n_.model.mouth_law == MouthLaw::tee;
    const R theta = coefficient(Numbers<T>::regain);
    const R one(1.0);
    for (std::size_t i = 0; i < n_.mouths.size(); ++i) {
        const Mouth& mouth = n_.mouths[i];
        const std::size_t footprint = 2 * n_.passages.size() + i;
        const auto chain = index(mouth.chain);
        const auto f = duct_end(chain, true);
        const AdjacentGas beside = adjacent_gas(mouth.plenum, footprint);
        const R out = f.rho * f.v * at(d_.mouth_area, i) / (beside.rho * at(d_.plenum_area, i));
        const auto v = approach(beside.u, out, beside.rho, tee ? one : theta);
        R k0 = at(d_.entry_loss, i);
        R lost_head = coefficient(Numbers<T>::crossflow_loss) * v.square;
        if (tee) {
            // The part of the branch loss with w^2 goes with the entry loss, so that the end is
            // solved in closed form.
            const auto branch = laws::gardel_branch_heads(at(d_.area_ratio, i),
                                                          at(d_.corner, i),
                                                          sqrt(v.square),
                                                          max(f.v, R(0.0)),
                                                          half_cotangent(i, v));
            k0 = branch.entry;
            lost_head = branch.lost;
        }
        const R drive = beside.p0 - v.p0_correction - 0.5 * beside.rho * lost_head;
        const auto laws = relations();
        const auto c =
            ends::entry(f, laws, ends::arriving_wave(f, laws), drive, beside.h0, beside.y, k0);
        set_face(chain, true, c, one);
        const R factor = tee ? select(c.mass > R(0.0), R(0.0), 2.0 - theta) : 2.0 - theta;
        exchange(mouth.plenum, footprint, c.mass, factor, c.h0, c.fresh);
        if (tee) {
            tee_run_loss(mouth, i, beside, out, c.mass);
        }
        if (n_.slanted) {
            joining_momentum(mouth, i, c.mass * c.velocity, c.mass);
        }
        const R in = max(c.mass, R(0.0));
        const R square = c.velocity * c.velocity;
        // theory T23, T45
        const R lost = in * 0.5 * (c.rho * k0 * square + beside.rho * lost_head);
        add(r, layout.total(Layout::mouth_loss), lost);
        add(r, layout.total(Layout::mouth_flow), in);
        if constexpr (single) {
            if (snapshot_ != nullptr) {
                snapshot_->mouth_velocity[i] = c.velocity;
                snapshot_->mouth_flow[i] = in;
                snapshot_->mouth_loss[i] = lost;
            }
        } else if (peaks) {
            set(w_.mouth_peak, i, max(at(w_.mouth_peak, i), c.velocity));
        }
    }
}

/// Cd^2 of a passage at a pressure drop x (over the upstream pressure), by the direction of flow.
template <class R>
R Kernel<R>::discharge_squared(std::size_t i, R flow, R x) const {
    using arithmetic::abs;
    using arithmetic::select;
    constexpr std::size_t count = Numbers<T>::discharge_count;
    const std::size_t forward = i * 2 * count;
    const auto reverse = flow < R(0.0);
    const auto number = [&](std::size_t k) {
        if constexpr (single) {
            return at(d_.discharge, forward + (reverse ? count : 0) + k);
        } else {
            return select(
                reverse, at(d_.discharge, forward + count + k), at(d_.discharge, forward + k));
        }
    };
    std::array<R, laws::SlotDischarge::growth_count> growth;
    for (std::size_t k = 0; k < growth.size(); ++k) {
        growth[k] = number(2 + k);
    }
    return laws::SlotDischarge::squared(
        number(0), number(1), growth, x, R(abs(flow) * at(d_.reynolds, i)));
}

template <class R>
void Kernel<R>::passages(const T* s, T* r, bool peaks) {
    for (std::size_t i = 0; i < n_.passages.size(); ++i) {
        passage(i, s, r, peaks);
    }
}

template <class R>
void Kernel<R>::passage(std::size_t i, const T* s, T* r, bool peaks) {
    using arithmetic::abs;
    using arithmetic::max;
    using arithmetic::min;
    using arithmetic::select;
    using arithmetic::sqrt;
    const Layout& layout = n_.layout;
    const Passage& p = n_.passages[i];
    const bool from_room = p.from.weight.empty();
    const bool to_room = p.to.weight.empty();
    const R theta = coefficient(Numbers<T>::regain);
    const R m = get(s, layout.passage_flow() + static_cast<int>(i));
    const AdjacentGas from = from_room ? room_gas(2 * i) : adjacent_gas(p.from, 2 * i);
    const AdjacentGas to = to_room ? room_gas(2 * i + 1) : adjacent_gas(p.to, 2 * i + 1);
    R p_from = from.p;
    if (p.upstream_static && !from_room) {
        const R out = m / (from.rho * at(d_.from_area, i));
        p_from = pressure_beside(approach(from.u, out, from.rho, theta), from.p0, from.rho);
    }
    const auto reverse = m < R(0.0);
    const R dp = p_from - to.p;
    const R p_up = select(reverse, to.p, p_from);
    const R rho_up = select(reverse, to.rho, from.rho);
    const R x = min(max(select(reverse, -dp, dp) / p_up, R(0.0)), R(1.0));
    const R area = at(d_.area, i);
    const R cd2 = discharge_squared(i, m, x);
    const R k2 = cd2 * area * area * rho_up * orifice(d_.orifice).flow_factor(x);
    // theory T19, T44
    const R lost = m * abs(m) / k2;  // the rest of dp speeds the air up or slows it down
    if constexpr (!single) {
        if (peaks) {
            const R rate = passage_return(m, x, p_up, k2, at(d_.inverse_inertance, i));
            set(w_.damping, 0, max(at(w_.damping, 0), rate));
            if (p.slot) {
                const R square = m * m / (cd2 * area * area * rho_up * gamma() * p_up);
                set(w_.slot_mach_square, 0, max(at(w_.slot_mach_square, 0), square));
            }
        }
    }
    put(r, layout.passage_flow() + static_cast<int>(i), (dp - lost) * at(d_.inverse_inertance, i));
    if constexpr (single) {
        put(r, layout.passage_mass() + static_cast<int>(i), m);
    }
    if (!from_room) {
        exchange(p.from, 2 * i, m, 2.0 - theta, to.h0, to.y);
    }
    if (!to_room) {
        exchange(p.to, 2 * i + 1, -m, 2.0 - theta, from.h0, from.y);
    }
    if (p.source || from_room || to_room) {
        const R h0 = select(reverse, to.h0, from.h0);
        const R fresh = select(reverse, to.y, from.y);
        if (p.source || from_room) {
            count_source(r, m, h0, fresh);
        }
        if (to_room) {
            count_exit(r, m, h0, fresh);
        }
    }
    if (p.source) {
        add(r, layout.total(Layout::throttle_loss), m * lost);
    }
    if (p.slot) {
        add(r, layout.total(Layout::slot_flow), m);
        add(r, layout.total(Layout::slot_loss), m * lost);
    }
    if constexpr (single) {
        if (snapshot_ != nullptr) {
            const R v = abs(m) / (rho_up * area * sqrt(cd2));
            snapshot_->passage_mach[i] = v / sqrt(gamma() * p_up / rho_up);
            snapshot_->passage_flow[i] = m;
            snapshot_->passage_loss[i] = m * lost;
        }
    }
}

}  // namespace plenair

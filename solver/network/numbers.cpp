#include "solver/network/numbers.hpp"

#include "geometry/contract.hpp"
#include "solver/gas/perfect_gas.hpp"
#include "solver/network/cell_loops.hpp"
#include "solver/network/network_complete.hpp"

#include <algorithm>

namespace plenair {

namespace {

bool same_footprint(const Footprint& a, const Footprint& b) {
    return a.first == b.first && a.weight.size() == b.weight.size();
}

bool same_chain(const Chain& a, const Chain& b) {
    return a.first == b.first && a.count == b.count && a.start == b.start && a.end == b.end &&
           a.closed_exit == b.closed_exit && a.cylinder == b.cylinder && a.jet == b.jet &&
           (a.friction >= 0) == (b.friction >= 0) && a.has_friction == b.has_friction &&
           a.friction_factor == b.friction_factor && a.has_heat == b.has_heat &&
           (a.start_diffuser > 1.0) == (b.start_diffuser > 1.0) &&
           (a.end_diffuser > 1.0) == (b.end_diffuser > 1.0);
}

bool same_passage(const Passage& a, const Passage& b) {
    return same_footprint(a.from, b.from) && same_footprint(a.to, b.to) &&
           a.upstream_static == b.upstream_static && a.slot == b.slot && a.source == b.source;
}

template <class Item, class Same>
bool all_same(const std::vector<Item>& a, const std::vector<Item>& b, Same same) {
    return a.size() == b.size() && std::equal(a.begin(), a.end(), b.begin(), same);
}

/// What the cylinders do, whatever their numbers are.
bool same_cylinder(const CylinderModel& a, const CylinderModel& b) {
    return a.wall_heat == b.wall_heat && a.exhaust_varies == b.exhaust_varies;
}

}  // namespace

template <class T>
Numbers<T>::Numbers(const Network& topology, int lane_count) : lanes(lane_count) {
    PLENAIR_EXPECT(lane_count > 0);
    expect_complete(topology);
    const auto width = static_cast<std::size_t>(lanes);
    const auto size = [width](Aligned<T>& v, std::size_t count) { v.assign(count * width, T(0)); };
    const auto cells = static_cast<std::size_t>(topology.layout.cells + widest_pack + 1);
    for (auto* v : {&inverse_volume,
                    &volume,
                    &inverse_diameter,
                    &bend,
                    &wall_rt,
                    &section,
                    &face_area,
                    &inverse_face_area}) {
        size(*v, cells);
    }
    for (auto* v : {&inverse_diameter, &inverse_face_area}) {
        std::fill(v->begin(), v->end(), T(1));
    }
    const std::size_t chains = topology.chains.size();
    for (auto* v : {&inverse_dx,
                    &start_area,
                    &end_area,
                    &start_diffuser,
                    &end_diffuser,
                    &open_loss,
                    &exit_loss,
                    &exit_pressure,
                    &jet_decay,
                    &jet_rate,
                    &darcy}) {
        size(*v, chains);
    }
    size(friction, chains * friction_count);
    const std::size_t passages = topology.passages.size();
    for (auto* v : {&area, &inverse_inertance, &reynolds, &from_area}) {
        size(*v, passages);
    }
    size(discharge, passages * 2 * discharge_count);
    size(rooms, passages * 2 * room_count);
    const std::size_t mouths = topology.mouths.size();
    for (auto* v :
         {&entry_loss, &mouth_area, &plenum_area, &area_ratio, &corner, &half_cotangent, &along}) {
        size(*v, mouths);
    }
    int weights = 0;
    const auto add = [&](const Footprint& f) {
        weight_at.push_back(weights);
        weights += static_cast<int>(f.weight.size());
    };
    for (const Passage& p : topology.passages) {
        add(p.from);
        add(p.to);
    }
    for (const Mouth& m : topology.mouths) {
        add(m.plenum);
    }
    size(weight, static_cast<std::size_t>(weights));
    size(coefficients, coefficient_count);
    size(point, point_count);
    size(orifice, orifice_count);
    size(exhaust_orifice, orifice_count);
    size(duct, duct_count);
    size(expansion, static_cast<std::size_t>(polynomial_count(expansion_degree)));
    size(cylinder_gas, 2 * component_count);
    for (int lane = 0; lane < lanes; ++lane) {
        set_lane(lane, topology);
    }
}

namespace {

/// Writes one lane of arrays whose innermost index is the lane.
template <class T>
class LaneWriter final {
public:
    LaneWriter(int lanes, int lane)
        : lanes_(static_cast<std::size_t>(lanes)), lane_(static_cast<std::size_t>(lane)) {}

    void put(Aligned<T>& to, std::size_t i, double value) const {
        to[i * lanes_ + lane_] = static_cast<T>(value);
    }
    void put(Aligned<T>& to, const std::vector<double>& from) const {
        const std::size_t count = std::min(from.size(), to.size() / lanes_);
        for (std::size_t i = 0; i < count; ++i) {
            put(to, i, from[i]);
        }
    }

    /// Middle, scale and coefficients from place `i` on; returns the place behind them.
    template <std::size_t Degree>
    std::size_t put(Aligned<T>& to,
                    std::size_t i,
                    const arithmetic::Polynomial<Degree>& polynomial) const {
        put(to, i++, polynomial.middle);
        put(to, i++, polynomial.scale);
        for (const double c : polynomial.coefficient) {
            put(to, i++, c);
        }
        return i;
    }

private:
    std::size_t lanes_, lane_;
};

template <class T>
void put_gas(Numbers<T>& to, const LaneWriter<T>& w, const Network& n) {
    const ChargeGas& gas = n.gas;
    const auto perfect = gas::perfect_gas(gas.gamma);
    using N = Numbers<T>;
    w.put(to.point, N::gamma, gas.gamma);
    w.put(to.point, N::gamma_less_one, gas.gamma - 1.0);
    w.put(to.point, N::pressure_exponent, perfect.k);
    w.put(to.point, N::enthalpy_factor, perfect.h_per_rt);
    w.put(to.point, N::viscosity, gas.viscosity);
    w.put(to.point, N::viscosity_slope, gas.viscosity_slope);
    w.put(to.point, N::inverse_charge_rt, 1.0 / n.source.rt);
    w.put(to.point, N::heat_factor, perfect.h_per_rt / gas.prandtl);
    w.put(to.point, N::source_pressure, n.source.pressure);
    w.put(to.point, N::source_rt, n.source.rt);
    w.put(to.point, N::source_fresh, n.source.fresh);
    w.put(to.point, N::room_rt, n.room.rt);
    w.put(to.point, N::room_fresh, n.room.fresh);
    w.put(to.orifice, 0, n.orifice.choked_x);
    w.put(to.orifice, 1, n.orifice.factor);
    w.put(to.expansion, 0, n.expansion);
    std::size_t i = 0;
    for (const double number : {n.duct.choked_flow, n.duct.sonic_x, n.duct.sonic_fall}) {
        w.put(to.duct, i++, number);
    }
    i = w.put(to.duct, i, n.duct.mach_of_flow);
    i = w.put(to.duct, i, n.duct.wave);
    i = w.put(to.duct, i, n.duct.rise);
    i = w.put(to.duct, i, n.duct.fall);
    w.put(to.duct, i, n.duct.supersonic);
}

template <class T>
void put_cylinder(Numbers<T>& to, const LaneWriter<T>& w, const Network& n) {
    const CylinderModel& c = n.cylinder;
    using N = Numbers<T>;
    w.put(to.point, N::exhaust_pressure, n.exhaust.pressure);
    w.put(to.point, N::exhaust_rt, n.exhaust.rt);
    w.put(to.point, N::exhaust_enthalpy, n.exhaust_enthalpy);
    w.put(to.point, N::inverse_exhaust_delay, c.exhaust_delay > 0.0 ? 1.0 / c.exhaust_delay : 0.0);
    w.put(to.point, N::offset_fresh, c.offset_fresh);
    w.put(to.point, N::offset_burned, c.offset_burned);
    w.put(to.point, N::heat_per_air, c.heat_per_air);
    w.put(to.point, N::wall_temperature, c.wall_temperature);
    w.put(to.point, N::woschni, c.woschni);
    w.put(to.point, N::relax, c.relax);
    w.put(to.point, N::gas_constant_fresh, c.gas.fresh.gas_constant);
    w.put(to.point, N::gas_constant_burned, c.gas.burned.gas_constant);
    w.put(to.exhaust_orifice, 0, n.exhaust_orifice.choked_x);
    w.put(to.exhaust_orifice, 1, n.exhaust_orifice.factor);
    std::size_t i = 0;
    for (const auto* gas : {&c.gas.fresh, &c.gas.burned}) {
        for (const double e : gas->energy.coefficient) {
            w.put(to.cylinder_gas, i++, e);
        }
        i = w.put(to.cylinder_gas, i, gas->guess);
        w.put(to.cylinder_gas, i++, gas->lowest);
        w.put(to.cylinder_gas, i++, gas->highest);
    }
}

template <class T>
void put_cells(Numbers<T>& to, const LaneWriter<T>& w, const Network& n) {
    w.put(to.inverse_volume, n.inverse_volume);
    w.put(to.volume, n.volume);
    w.put(to.inverse_diameter, n.inverse_diameter);
    w.put(to.bend, n.bend);
    w.put(to.wall_rt, n.wall_rt);
    w.put(to.section, n.area);
    w.put(to.face_area, n.face_area);
    for (std::size_t f = 0; f < n.face_area.size(); ++f) {
        w.put(to.inverse_face_area, f, 1.0 / n.face_area[f]);
    }
}

template <class T>
void put_chains(Numbers<T>& to, const LaneWriter<T>& w, const Network& n) {
    for (std::size_t c = 0; c < n.chains.size(); ++c) {
        const Chain& chain = n.chains[c];
        w.put(to.inverse_dx, c, 1.0 / chain.dx);
        w.put(to.start_area, c, chain.start_effective_area);
        w.put(to.end_area, c, chain.end_effective_area);
        w.put(to.start_diffuser, c, chain.start_diffuser);
        w.put(to.end_diffuser, c, chain.end_diffuser);
        w.put(to.open_loss, c, chain.open_loss);
        w.put(to.exit_loss, c, chain.exit_loss);
        w.put(to.exit_pressure, c, chain.exit_pressure.value_or(n.room.pressure));
        w.put(to.jet_decay, c, chain.jet_decay);
        w.put(to.jet_rate, c, chain.jet_rate);
        w.put(to.darcy, c, chain.darcy);
        if (chain.friction >= 0) {
            const auto& fit = n.frictions[static_cast<std::size_t>(chain.friction)].turbulent;
            for (std::size_t k = 0; k < fit.coefficient.size(); ++k) {
                w.put(to.friction, c * Numbers<T>::friction_count + k, fit.coefficient[k]);
            }
        }
    }
}

template <class T>
void put_passages(Numbers<T>& to, const LaneWriter<T>& w, const Network& n) {
    for (std::size_t i = 0; i < n.passages.size(); ++i) {
        const Passage& p = n.passages[i];
        w.put(to.area, i, p.area);
        w.put(to.inverse_inertance, i, 1.0 / p.inertance);
        w.put(to.reynolds, i, p.hydraulic_diameter / (p.area * n.gas.viscosity));
        w.put(to.from_area, i, p.from.area);
        std::size_t room = i * 2 * Numbers<T>::room_count;
        for (const Reservoir* r : {&p.from_room, &p.to_room}) {
            w.put(to.rooms, room++, r->pressure);
            w.put(to.rooms, room++, r->pressure / r->rt);
            w.put(to.rooms, room++, gas::perfect_gas(n.gas.gamma).h_per_rt * r->rt);
            w.put(to.rooms, room++, r->fresh);
        }
        std::size_t at = i * 2 * Numbers<T>::discharge_count;
        for (const int index : {p.discharge, p.discharge_reverse}) {
            const auto& law = n.discharges[static_cast<std::size_t>(index)];
            w.put(to.discharge, at++, law.edge.a);
            w.put(to.discharge, at++, law.edge.b);
            for (const double c : law.growth.coefficient) {
                w.put(to.discharge, at++, c);
            }
        }
    }
}

template <class T>
void put_mouths(Numbers<T>& to, const LaneWriter<T>& w, const Network& n) {
    for (std::size_t i = 0; i < n.mouths.size(); ++i) {
        const Mouth& m = n.mouths[i];
        w.put(to.entry_loss, i, m.entry_loss);
        w.put(to.mouth_area, i, m.area);
        w.put(to.plenum_area, i, m.plenum.area);
        w.put(to.area_ratio, i, m.area_ratio);
        w.put(to.corner, i, m.corner);
        w.put(to.half_cotangent, i, m.half_cotangent);
        w.put(to.along, i, m.along);
    }
}

template <class T>
void put_weights(Numbers<T>& to, const LaneWriter<T>& w, const Network& n) {
    std::size_t k = 0;
    const auto put = [&](const Footprint& f) {
        for (const double value : f.weight) {
            w.put(to.weight, k++, value);
        }
    };
    for (const Passage& p : n.passages) {
        put(p.from);
        put(p.to);
    }
    for (const Mouth& m : n.mouths) {
        put(m.plenum);
    }
}

}  // namespace

template <class T>
void Numbers<T>::set_lane(int lane, const Network& n) {
    PLENAIR_EXPECT(lane >= 0 && lane < lanes);
    const LaneWriter<T> w(lanes, lane);
    put_cells(*this, w, n);
    put_chains(*this, w, n);
    put_passages(*this, w, n);
    put_mouths(*this, w, n);
    put_weights(*this, w, n);
    for (std::size_t i = 0; i < coefficient_of.size(); ++i) {
        w.put(coefficients, i, n.model.*coefficient_of[i]);
    }
    put_gas(*this, w, n);
    put_cylinder(*this, w, n);
}

bool same_topology(const Network& a, const Network& b) {
    return a.layout.cells == b.layout.cells && a.layout.jets == b.layout.jets &&
           a.layout.cylinders == b.layout.cylinders && a.gas.prandtl == b.gas.prandtl &&
           same_cylinder(a.cylinder, b.cylinder) && a.model.mouth_law == b.model.mouth_law &&
           a.slanted == b.slanted && all_same(a.chains, b.chains, same_chain) &&
           all_same(a.passages, b.passages, same_passage) &&
           all_same(a.mouths,
                    b.mouths,
                    [](const Mouth& x, const Mouth& y) {
                        return x.chain == y.chain && same_footprint(x.plenum, y.plenum);
                    }) &&
           all_same(a.valves, b.valves, [](const ValveEnd& x, const ValveEnd& y) {
               return x.chain == y.chain && x.cylinder == y.cylinder;
           });
}

template struct Numbers<double>;
template struct Numbers<float>;

}  // namespace plenair

#pragma once

#include "solver/network/cell_loops.hpp"
#include "solver/network/cell_rate.hpp"
#include "solver/network/flux.hpp"
#include "solver/network/reconstruction.hpp"

/// Bodies of the loops for one pack type; included by one source file per instruction set.
namespace plenair::kernels {

/// Calls body(i) for packs that cover [first, last); the last one overlaps its neighbour instead of
/// leaving a remainder.
template <class Pack, class Body>
inline void cover(int first, int last, Body&& body) {
    constexpr int width = static_cast<int>(Pack::width);
    for (int start = first; start < last; start += width) {
        body(start + width <= last ? start : last - width);
    }
}

template <class Pack>
void primitives(const StateArrays& s, const PrimitiveArrays& out, int cells, double gamma) {
    const double k = gamma - 1.0;
    cover<Pack>(0, cells, [&](int i) {
        const Pack rho = Pack::load(s.rho + i);
        const Pack inverse = 1.0 / rho;
        const Pack u = Pack::load(s.rho_u + i) * inverse;
        const Pack rt = k * (Pack::load(s.rho_e + i) * inverse - 0.5 * u * u);
        rho.store(out.rho + i);
        u.store(out.u + i);
        (u * Pack::load(s.section + i)).store(out.flow + i);
        rt.store(out.rt + i);
        (rho * rt).store(out.p + i);
        (Pack::load(s.rho_y + i) * inverse).store(out.y + i);
    });
}

template <class Pack>
struct Both {
    Pack left, right;
};

/// Values on both sides of faces f, f + 1, ... of one quantity; `bounded`: of one that is carried.
template <class Pack, bool bounded = false>
inline Both<Pack> both(const double* w, int f) {
    const Pack a = Pack::load(w + f - 3);
    const Pack b = Pack::load(w + f - 2);
    const Pack c = Pack::load(w + f - 1);
    const Pack d = Pack::load(w + f);
    const Pack e = Pack::load(w + f + 1);
    const Pack g = Pack::load(w + f + 2);
    if constexpr (bounded) {
        return {reconstruction::bounded5(a, b, c, d, e), reconstruction::bounded5(g, e, d, c, b)};
    } else {
        return {reconstruction::upwind5(a, b, c, d, e), reconstruction::upwind5(g, e, d, c, b)};
    }
}

/// How far a face keeps to the cell beside it: not at all where the pressure changes as
/// in a smooth flow, and towards first order at a jump.
template <class Pack>
inline Pack kept(const Pack& a, const Pack& b) {
    const Pack most = reconstruction::smooth_change * (a + b);
    return 1.0 - most / max(abs(a - b), most);
}

template <class Pack, bool first_order_at_jumps>
void faces(const CellArrays& cells, const FaceArrays& out, int first, int last, double gamma) {
    const auto gas = gas::perfect_gas(gamma);
    cover<Pack>(first, last, [&](int f) {
        const auto rho = both<Pack>(cells.rho, f);
        const auto flow = both<Pack>(cells.flow, f);
        const Pack inverse_area = Pack::load(cells.inverse_face_area + f);
        const auto p = both<Pack>(cells.p, f);
        FaceState<Pack> l;
        FaceState<Pack> r;
        l.rho = reconstruction::near_mean(rho.left, Pack::load(cells.rho + f - 1));
        r.rho = reconstruction::near_mean(rho.right, Pack::load(cells.rho + f));
        // Density and pressure: their product with RT would ring at a contact between hot and cold.
        l.p = reconstruction::near_mean(p.left, Pack::load(cells.p + f - 1));
        r.p = reconstruction::near_mean(p.right, Pack::load(cells.p + f));
        l.u = flow.left * inverse_area;
        r.u = flow.right * inverse_area;
        if constexpr (first_order_at_jumps) {
            // One factor for the whole state of a side, by the jumps on both sides of its cell.
            const auto p_at = [&](int i) { return Pack::load(cells.p + i); };
            const Pack here = kept(p_at(f - 1), p_at(f));
            const Pack left = max(here, kept(p_at(f - 2), p_at(f - 1)));
            const Pack right = max(here, kept(p_at(f), p_at(f + 1)));
            const auto towards = [](Pack& face, const Pack& mean, const Pack& share) {
                face = face + share * (mean - face);
            };
            towards(l.rho, Pack::load(cells.rho + f - 1), left);
            towards(r.rho, Pack::load(cells.rho + f), right);
            towards(l.p, p_at(f - 1), left);
            towards(r.p, p_at(f), right);
            towards(l.u, Pack::load(cells.flow + f - 1) * inverse_area, left);
            towards(r.u, Pack::load(cells.flow + f) * inverse_area, right);
        }
        const auto y = both<Pack, true>(cells.y, f);
        l.y = y.left;
        r.y = y.right;
        const FaceFlux<Pack> flux = face_flux(l, r, gas);
        flux.mass.store(out.mass + f);
        flux.carried.store(out.carried + f);
        flux.pressure.store(out.pressure + f);
        flux.energy.store(out.energy + f);
        flux.fresh.store(out.fresh + f);
    });
}

template <class Pack>
void rates(const FaceArrays& faces, const SourceArrays& s, const RateArrays& out, int cells) {
    const auto face = [&](int f) {
        return CellFace<Pack>{{Pack::load(faces.mass + f),
                               Pack::load(faces.carried + f),
                               Pack::load(faces.pressure + f),
                               Pack::load(faces.energy + f),
                               Pack::load(faces.fresh + f)},
                              Pack::load(s.face_area + f),
                              Pack::load(s.thrust + f)};
    };
    cover<Pack>(0, cells, [&](int i) {
        const Pack u = Pack::load(s.u + i);
        const CellBalance<Pack> c{
            Pack::load(s.mass + i),
            Pack::load(s.momentum + i),
            Pack::load(s.energy + i),
            Pack::load(s.fresh + i),
            (Pack::load(s.drag + i) * Pack::load(s.rho + i) * abs(u) + Pack::load(s.viscous + i)) *
                u,
            Pack::load(s.heat + i) * (Pack::load(s.wall_rt + i) - Pack::load(s.rt + i)),
            Pack::load(s.p + i),
            Pack::load(s.inverse_volume + i)};
        const CellRate<Pack> rate = cell_rate(face(i), face(i + 1), c);
        rate.rho.store(out.rho + i);
        rate.rho_u.store(out.rho_u + i);
        rate.rho_e.store(out.rho_e + i);
        rate.rho_y.store(out.rho_y + i);
    });
}

template <class Pack>
void walls(const WallArrays& c,
           const WallLaw& law,
           const WallNumbers<double>& numbers,
           const laws::Gnielinski& gnielinski,
           int first,
           int count) {
    WallNumbers<Pack> wide;
    wide.darcy = Pack(numbers.darcy);
    wide.viscosity = Pack(numbers.viscosity);
    wide.viscosity_slope = Pack(numbers.viscosity_slope);
    wide.inverse_charge_rt = Pack(numbers.inverse_charge_rt);
    wide.heat_factor = Pack(numbers.heat_factor);
    for (std::size_t k = 0; k < wide.fit.coefficient.size(); ++k) {
        wide.fit.coefficient[k] = Pack(numbers.fit.coefficient[k]);
    }
    wide.fit.middle = numbers.fit.middle;
    wide.fit.scale = numbers.fit.scale;
    for (int i = first; i < first + count; i += static_cast<int>(Pack::width)) {
        const WallFactors<Pack> f =
            wall_factors_of(law,
                            wide,
                            gnielinski,
                            WallCell<Pack>{Pack::load(c.rho + i),
                                           Pack::load(c.u + i),
                                           Pack::load(c.rt + i),
                                           Pack::load(c.inverse_diameter + i),
                                           Pack::load(c.bend + i),
                                           Pack::load(c.volume + i)});
        f.drag.store(c.drag + i);
        f.viscous.store(c.viscous + i);
        f.heat.store(c.heat + i);
    }
}

template <class Pack>
const CellLoops* table(const char* name) {
    static const CellLoops first_order_at_jumps{
        name, &primitives<Pack>, &faces<Pack, true>, &rates<Pack>, &walls<Pack>, nullptr};
    static const CellLoops loops{name,
                                 &primitives<Pack>,
                                 &faces<Pack, false>,
                                 &rates<Pack>,
                                 &walls<Pack>,
                                 &first_order_at_jumps};
    return &loops;
}

}  // namespace plenair::kernels

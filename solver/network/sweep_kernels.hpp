#pragma once

#include "solver/network/flux.hpp"
#include "solver/network/reconstruction.hpp"
#include "solver/network/sweeps.hpp"

/// Bodies of the sweeps for one pack type; included by one source file per instruction set.
namespace plenair::kernels {

template <class Pack>
struct Both {
    Pack left, right;
};

/// Values on both sides of faces f, f + 1, ... of one quantity.
template <class Pack>
inline Both<Pack> both(const double* w, int f) {
    const Pack a = Pack::load(w + f - 3);
    const Pack b = Pack::load(w + f - 2);
    const Pack c = Pack::load(w + f - 1);
    const Pack d = Pack::load(w + f);
    const Pack e = Pack::load(w + f + 1);
    const Pack g = Pack::load(w + f + 2);
    return {reconstruction::upwind5(a, b, c, d, e), reconstruction::upwind5(g, e, d, c, b)};
}

template <class Pack>
void faces(const CellArrays& cells, const FaceArrays& out, int first, int last, double gamma) {
    constexpr int width = static_cast<int>(Pack::width);
    for (int start = first; start < last; start += width) {
        // The last pack overlaps its neighbour instead of leaving a remainder.
        const int f = start + width <= last ? start : last - width;
        const auto rho = both<Pack>(cells.rho, f);
        const auto flow = both<Pack>(cells.volume_flow, f);
        const Pack inverse_area = Pack::load(cells.inverse_face_area + f);
        const auto p = both<Pack>(cells.p, f);
        FaceState<Pack> l;
        FaceState<Pack> r;
        l.rho = reconstruction::positive(rho.left, Pack::load(cells.rho + f - 1), 0.55, 1.45);
        r.rho = reconstruction::positive(rho.right, Pack::load(cells.rho + f), 0.55, 1.45);
        // Density and pressure: their product with RT would ring at a contact between hot and cold.
        l.rt = reconstruction::positive(p.left, Pack::load(cells.p + f - 1), 0.55, 1.45) / l.rho;
        r.rt = reconstruction::positive(p.right, Pack::load(cells.p + f), 0.55, 1.45) / r.rho;
        l.u = flow.left * inverse_area;
        r.u = flow.right * inverse_area;
        l.y = Pack::load(cells.y + f - 1);
        r.y = Pack::load(cells.y + f);
        const FaceFlux<Pack> flux = face_flux(l, r, gamma);
        flux.mass.store(out.mass + f);
        flux.carried.store(out.carried + f);
        flux.pressure.store(out.pressure + f);
        flux.energy.store(out.energy + f);
        flux.fresh.store(out.fresh + f);
    }
}

template <class Pack>
void walls(const WallArrays& c, const WallLaw& law, int first, int count) {
    for (int i = first; i < first + count; i += static_cast<int>(Pack::width)) {
        const Pack rho = Pack::load(c.rho + i);
        const Pack u = Pack::load(c.u + i);
        const Pack rt = Pack::load(c.rt + i);
        const Pack inverse_d = Pack::load(c.inverse_diameter + i);
        const Pack volume = Pack::load(c.volume + i);
        const Pack speed = abs(u);
        const Pack mu =
            law.viscosity * (1.0 + law.viscosity_slope * (rt * law.inverse_charge_rt - 1.0));
        const Pack reynolds = rho * speed / (mu * inverse_d) + 1.0;
        const Pack f = law.fit != nullptr ? law.fit->darcy(reynolds) : Pack(law.darcy);
        const Pack factor = law.friction ? f * inverse_d : Pack(0.0);
        const Pack drag = (factor + Pack::load(c.bend + i)) * (-0.5) * rho * speed * u * volume;
        drag.store(c.drag + i);
        if (law.heat) {
            // 4 h (Tw - T)/D with k T = mu cp T/Pr and cp T = gamma/(gamma - 1) R T.
            const Pack nusselt = law.gnielinski.nusselt(reynolds, f);
            const Pack heat = 4.0 * nusselt * inverse_d * inverse_d * mu * law.heat_factor *
                              (Pack::load(c.wall_rt + i) - rt) * volume;
            heat.store(c.heat + i);
        }
    }
}

template <class Pack>
const Sweeps* table(const char* name) {
    static const Sweeps sweeps{name, &faces<Pack>, &walls<Pack>};
    return &sweeps;
}

}  // namespace plenair::kernels

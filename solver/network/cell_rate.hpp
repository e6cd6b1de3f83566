#pragma once

#include "solver/arithmetic/real.hpp"
#include "solver/network/flux.hpp"

namespace plenair {

/// What a cell holds and takes in besides its faces.
template <class R>
struct CellBalance {
    R mass, momentum, energy, fresh;  ///< sources, positive in
    R drag, heat;  ///< wall friction [N], wall heat [W]
    R pressure, inverse_volume;
};

/// A face with its area and the excess momentum flow of a jet through it [N].
template <class R>
struct CellFace {
    FaceFlux<R> flux;
    R area, thrust;
};

template <class R>
struct CellRate {
    R rho, rho_u, rho_e, rho_y;
};

/// d/dt of density, momentum, energy and fresh charge of one cell; `with_sources` where it has
/// sources.
/// theory T4, T5, T6, T7
template <bool with_sources = true, class R>
[[nodiscard]] inline CellRate<R> cell_rate(const CellFace<R>& left,
                                           const CellFace<R>& right,
                                           const CellBalance<R>& c) {
    const FaceFlux<R>& l = left.flux;
    const FaceFlux<R>& r = right.flux;
    // Pressure on the walls of a tapering part: p dA keeps still air still.
    const R pull = (l.carried + l.pressure - c.pressure) * left.area -
                   (r.carried + r.pressure - c.pressure) * right.area + left.thrust - right.thrust;
    R mass = l.mass * left.area - r.mass * right.area;
    R momentum = pull + c.drag;
    R energy = l.energy * left.area - r.energy * right.area + c.heat;
    R fresh = l.fresh * left.area - r.fresh * right.area;
    if constexpr (with_sources) {
        mass += c.mass;
        momentum += c.momentum;
        energy += c.energy;
        fresh += c.fresh;
    }
    return {mass * c.inverse_volume,
            momentum * c.inverse_volume,
            energy * c.inverse_volume,
            fresh * c.inverse_volume};
}

}  // namespace plenair

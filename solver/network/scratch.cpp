#include "solver/network/scratch.hpp"

#include "solver/network/cell_loops.hpp"

namespace plenair {

template <class T>
Scratch<T>::Scratch(const Network& n, int lanes) {
    const auto width = static_cast<std::size_t>(lanes);
    // Room for a whole pack behind the last cell.
    const auto cells = static_cast<std::size_t>(n.layout.cells + widest_pack + 1) * width;
    for (auto* gas : {static_cast<CellGas<T>*>(this), &next}) {
        for (auto* v : {&gas->rho, &gas->u, &gas->flow, &gas->p, &gas->rt, &gas->y}) {
            v->assign(cells, T(1));
        }
    }
    for (auto* v : {&mass,
                    &carried,
                    &pressure,
                    &energy,
                    &fresh,
                    &thrust,
                    &s_mass,
                    &s_momentum,
                    &s_energy,
                    &s_fresh,
                    &drag,
                    &viscous,
                    &heat}) {
        v->assign(cells, T(0));
    }
    const std::size_t ends = 2 * n.chains.size() * width;
    end_state.assign(4 * ends, T(0));
    edge.assign(5 * ends, T(0));
    jet_inflow.assign(ends, T(0));
    const auto cylinders = static_cast<std::size_t>(n.layout.cylinders) * width;
    cylinder.assign(static_cast<std::size_t>(c_count) * cylinders, T(0));
    damping.assign(width, T(0));
    slot_mach_square.assign(width, T(0));
    mouth_peak.assign(n.mouths.size() * width, T(0));
    film.assign(cylinders, T(0));
}

template struct Scratch<double>;
template struct Scratch<float>;

}  // namespace plenair

#include "solver/network/right_hand_side.hpp"

#include <algorithm>

/// Wall friction and wall heat of every cell.
namespace plenair {

void RightHandSide::friction_and_heat(double* r) {
    const double gamma = n_.gas.gamma;
    const WallArrays cells{rho_.data(),
                           u_.data(),
                           rt_.data(),
                           n_.inverse_diameter.data(),
                           n_.bend.data(),
                           n_.wall_rt.data(),
                           n_.volume.data(),
                           drag_.data(),
                           heat_.data()};
    double total = 0.0;
    for (const Chain& chain : n_.chains) {
        const auto clear = [&chain](std::vector<double>& v) {
            std::fill(v.begin() + chain.first, v.begin() + chain.first + chain.count, 0.0);
        };
        if (!chain.has_friction && !chain.has_heat) {
            clear(drag_);
            clear(heat_);
            continue;
        }
        WallLaw law;
        law.fit =
            chain.friction >= 0 ? &n_.frictions[static_cast<std::size_t>(chain.friction)] : nullptr;
        law.darcy = chain.darcy;
        law.friction = chain.friction_factor;
        law.heat = chain.has_heat;
        law.viscosity = n_.gas.viscosity;
        law.viscosity_slope = n_.gas.viscosity_slope;
        law.inverse_charge_rt = 1.0 / n_.source.rt;
        law.heat_factor = gamma / (gamma - 1.0) / n_.gas.prandtl;
        law.gnielinski = gnielinski_;
        sweeps_.walls(cells, law, chain.first, chain.count);
        if (!chain.has_heat) {
            clear(heat_);
            continue;
        }
        for (int i = chain.first; i < chain.first + chain.count; ++i) {
            total += heat_[static_cast<std::size_t>(i)];
        }
    }
    r[n_.layout.total(Layout::wall_heat)] += total;
}

}  // namespace plenair

#pragma once

#include "solver/arithmetic/polynomial.hpp"
#include "solver/arithmetic/real.hpp"
#include "solver/laws/friction.hpp"
#include "solver/laws/heat.hpp"
#include "solver/network/network.hpp"

namespace plenair {

/// Friction and heat of one chain: which of them, and the gas.
struct WallLaw {
    bool fitted = false;  ///< friction factor of Re; else the constant one
    bool friction = false, heat = false;
    double viscosity = 0, viscosity_slope = 0, inverse_charge_rt = 0, heat_factor = 0;
};

[[nodiscard]] inline WallLaw wall_law(const Network& n, const Chain& chain) {
    const double gamma = n.gas.gamma;
    WallLaw law;
    law.fitted = chain.friction >= 0;
    law.friction = chain.friction_factor;
    law.heat = chain.has_heat;
    law.viscosity = n.gas.viscosity;
    law.viscosity_slope = n.gas.viscosity_slope;
    law.inverse_charge_rt = 1.0 / n.source.rt;
    law.heat_factor = gamma / (gamma - 1.0) / n.gas.prandtl;
    return law;
}

/// Coefficients of a chain's friction, one set a variant.
template <class R>
struct WallNumbers {
    R darcy;
    arithmetic::Polynomial<8, R> fit;
};

template <class R>
struct WallCell {
    R rho, u, rt, inverse_diameter, bend, volume;
};

/// Force on the gas = drag rho |u| u [N], heat to the gas = heat (RTw - RT) [W].
template <class R>
struct WallFactors {
    R drag, heat;
};

/// Darcy friction and bends, and wall heat by Gnielinski's Nusselt number on the same factor:
/// 4 h (Tw - T)/D per volume with k T = mu cp T/Pr and cp T = gamma/(gamma - 1) R T.
template <class R>
[[nodiscard]] inline WallFactors<R> wall_factors_of(const WallLaw& law,
                                                    const WallNumbers<R>& numbers,
                                                    const laws::Gnielinski& gnielinski,
                                                    const WallCell<R>& c) {
    using arithmetic::abs;
    const R mu = law.viscosity * (1.0 + law.viscosity_slope * (c.rt * law.inverse_charge_rt - 1.0));
    const R reynolds = c.rho * abs(c.u) / (mu * c.inverse_diameter) + 1.0;
    const R f =
        law.fitted ? laws::FrictionFit::darcy_of(numbers.fit, R(64.0), reynolds) : numbers.darcy;
    const R factor = law.friction ? f * c.inverse_diameter : R(0.0);
    WallFactors<R> out{(factor + c.bend) * (-0.5) * c.volume, R(0.0)};
    if (law.heat) {
        const R nusselt = gnielinski.nusselt(reynolds, f);
        out.heat = 4.0 * nusselt * c.inverse_diameter * c.inverse_diameter * mu * law.heat_factor *
                   c.volume;
    }
    return out;
}

}  // namespace plenair

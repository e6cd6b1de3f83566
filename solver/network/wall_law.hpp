#pragma once

#include "solver/arithmetic/polynomial.hpp"
#include "solver/arithmetic/real.hpp"
#include "solver/laws/friction.hpp"
#include "solver/laws/heat.hpp"
#include "solver/network/network.hpp"

namespace plenair {

/// Friction and heat of one chain: which of them.
struct WallLaw {
    bool fitted = false;  ///< friction factor of Re; else the constant one
    bool friction = false, heat = false;
};

[[nodiscard]] inline WallLaw wall_law(const Chain& chain) {
    WallLaw law;
    law.fitted = chain.friction >= 0;
    law.friction = chain.friction_factor;
    law.heat = chain.has_heat;
    return law;
}

/// Coefficients of a chain's friction and numbers of the gas, one set a variant.
template <class R>
struct WallNumbers {
    R darcy;
    R viscosity, viscosity_slope;  ///< at the charge temperature
    R inverse_charge_rt, heat_factor;  ///< heat_factor: gamma/(gamma - 1)/Pr
    arithmetic::Polynomial<8, R> fit;
};

template <class R>
struct WallCell {
    R rho, u, rt, inverse_diameter, bend, volume;
};

/// Force on the gas = (drag rho |u| + viscous) u [N], heat to the gas = heat (RTw - RT) [W].
template <class R>
struct WallFactors {
    R drag, viscous, heat;
};

/// Darcy friction and bends; laminar friction, which is proportional to the velocity, apart from
/// the rest, so that a factor held over a step in which the gas turns round stays a small one: as a
/// part of f it would be 64/Re with a Re near zero. And wall heat by Gnielinski's Nusselt number on
/// the same factor: 4 h (Tw - T)/D per volume with k T = mu cp T/Pr and cp T = gamma/(gamma - 1) R
/// T.
/// theory T11, T12
template <class R>
[[nodiscard]] inline WallFactors<R> wall_factors_of(const WallLaw& law,
                                                    const WallNumbers<R>& numbers,
                                                    const laws::Gnielinski& gnielinski,
                                                    const WallCell<R>& c) {
    using arithmetic::abs;
    const R mu = numbers.viscosity *
                 (1.0 + numbers.viscosity_slope * (c.rt * numbers.inverse_charge_rt - 1.0));
    const R reynolds = c.rho * abs(c.u) / (mu * c.inverse_diameter) + 1.0;
    laws::FrictionFit::Parts<R> f{numbers.darcy, R(0.0), numbers.darcy};
    if (law.fitted) {
        f = laws::FrictionFit::parts_of(numbers.fit, R(64.0), reynolds);
    }
    WallFactors<R> out{c.bend, R(0.0), R(0.0)};
    if (law.friction) {
        out.drag = out.drag + f.turbulent * c.inverse_diameter;
        out.viscous =
            -32.0 * f.laminar_share * mu * c.inverse_diameter * c.inverse_diameter * c.volume;
    }
    out.drag = out.drag * (-0.5) * c.volume;
    if (law.heat) {
        const R nusselt = gnielinski.nusselt(reynolds, f.factor);
        out.heat = 4.0 * nusselt * c.inverse_diameter * c.inverse_diameter * mu *
                   numbers.heat_factor * c.volume;
    }
    return out;
}

}  // namespace plenair

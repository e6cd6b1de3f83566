#pragma once

#include "solver/arithmetic/real.hpp"

/// Nusselt number of developed pipe flow. Scatter of the data 20 to 25 %.
namespace plenair::laws {

/// Prandtl number of air at 20 degC, from viscosity and conductivity as in U.S. Standard Atmosphere
/// 1976, eq. (51) and (53); it falls from 0.72 to 0.69 between 260 and 350 K.
inline constexpr double air_prandtl = 0.71;

/// Gnielinski, Int. Chem. Eng. 16 (1976) 359, for one Prandtl number and a given Darcy factor;
/// below Re about 2300 the laminar value 3.66 of constant wall temperature holds.
/// theory T12
struct Gnielinski {
    double prandtl = air_prandtl;
    double excess = 0;  ///< Pr^(2/3) - 1

    Gnielinski() : Gnielinski(air_prandtl) {}
    explicit Gnielinski(double prandtl_)
        : prandtl(prandtl_), excess(arithmetic::pow(prandtl_, 2.0 / 3.0) - 1.0) {
        PLENAIR_EXPECT(prandtl_ > 0.0);
    }

    template <class R>
    [[nodiscard]] R nusselt(R re, R darcy) const {
        using arithmetic::max;
        using arithmetic::min;
        using arithmetic::sqrt;
        // With Pr < 1 the denominator has a pole at a Darcy factor near 1.2, deep in laminar flow,
        // where the law does not hold anyway: the factor is held at 0.1.
        const R eighth = min(darcy, R(0.1)) * R(0.125);
        const R turbulent =
            eighth * (re - R(1000.0)) * R(prandtl) / (R(1.0) + R(12.7 * excess) * sqrt(eighth));
        return max(turbulent, R(3.66));
    }
};

}  // namespace plenair::laws

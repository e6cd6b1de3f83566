#pragma once

#include "solver/arithmetic/real.hpp"

/// Heat transfer in the cylinder, Woschni, SAE 670931 (1967), in the form of Heywood 1988,
/// eq. 12.19.
namespace plenair::laws {

/// Coefficients of the gas speed C1 Sp + C2 Vd Tr/(pr Vr) (p - pm) [m/s]: C1 on the mean piston
/// speed, C2 [m/s K] on the rise by burning over the motored pressure pm; the state r at a moment
/// before burning.
struct WoschniPhase {
    double piston;
    double burning;
};
inline constexpr WoschniPhase woschni_gas_exchange{6.18, 0.0};
inline constexpr WoschniPhase woschni_burning{2.28, 3.24e-3};

/// Of the motored pressure, p V^1.35 = const, and of a charge while it is compressed: air that
/// gives a little heat to the walls (common practice).
/// theory T34
inline constexpr double motored_exponent = 1.35;

/// Heat transfer coefficient [W/m2 K] of pressure [Pa], temperature [K], gas speed [m/s]; of the
/// bore [m] `bore_factor` = 3.26 B^-0.2. For the inner loop: p^0.8 w^0.8 and T^-0.55 from fifth and
/// square roots, without exponential and logarithm; the pressure of the formula is in kPa.
/// theory T33
template <class R>
[[nodiscard]] R woschni_film(R bore_factor, R pressure, R temperature, R speed) {
    using arithmetic::inverse_fifth_root;
    using arithmetic::sqrt;
    const R product = R(1e-3) * pressure * speed;
    const R t = inverse_fifth_root(temperature);
    const R fourth = sqrt(sqrt(t));  // T^-0.05
    return bore_factor * product * inverse_fifth_root(product) * (t * t) * (fourth * fourth) *
           fourth;
}

}  // namespace plenair::laws

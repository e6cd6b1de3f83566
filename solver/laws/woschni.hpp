#pragma once

#include "solver/arithmetic/real.hpp"

/// Heat transfer in the cylinder, Woschni, SAE 670931 (1967), in the form of Heywood 1988,
/// eq. 12.19.
namespace plenair::laws {

/// Coefficients of the gas speed: C1 on the mean piston speed, C2 [m/s K] on the rise by burning.
struct WoschniPhase {
    double piston;
    double burning;
};
inline constexpr WoschniPhase woschni_gas_exchange{6.18, 0.0};
inline constexpr WoschniPhase woschni_compression{2.28, 0.0};
inline constexpr WoschniPhase woschni_burning{2.28, 3.24e-3};

/// Gas speed [m/s]: C1 Sp + C2 Vd Tr/(pr Vr) (p - pm); the state r at a moment before burning, pm
/// the motored pressure.
template <class R>
[[nodiscard]] R woschni_speed(
    const WoschniPhase& phase, R piston_speed, R displacement, R reference, R pressure, R motored) {
    return R(phase.piston) * piston_speed +
           R(phase.burning) * displacement * reference * (pressure - motored);
}

/// Heat transfer coefficient [W/m2 K] of bore [m], pressure [Pa], temperature [K], gas speed [m/s].
template <class R>
[[nodiscard]] R woschni(R bore, R pressure, R temperature, R speed) {
    using arithmetic::exp;
    using arithmetic::log;
    // one exponential for the four powers; the pressure of the formula is in kPa
    return R(3.26) * exp(R(-0.2) * log(bore) + R(0.8) * log(R(1e-3) * pressure * speed) -
                         R(0.55) * log(temperature));
}

/// The same for the inner loop, `bore_factor` = 3.26 B^-0.2: p^0.8 w^0.8 and T^-0.55 from fifth and
/// square roots, without exponential and logarithm.
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

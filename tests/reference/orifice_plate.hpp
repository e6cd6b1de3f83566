#pragma once

#include "solver/arithmetic/real.hpp"

/// Metering orifice plates, ISO 5167-2:2003.
namespace plenair::reference {

/// Distance of the pressure taps from the plate over the pipe bore.
struct Taps {
    double upstream = 0;
    double downstream = 0;
};
inline constexpr Taps corner_taps{0.0, 0.0};
inline constexpr Taps radius_taps{1.0, 0.47};  // D and D/2
inline Taps flange_taps(double bore) {
    return {0.0254 / bore, 0.0254 / bore};
}

/// Reader-Harris/Gallagher coefficient. `beta` bore of the plate over that of the pipe, `re` on the
/// pipe, `bore` of the pipe [m].
inline double reader_harris_gallagher(double beta, double re, double bore, const Taps& taps) {
    using arithmetic::exp;
    using arithmetic::pow;
    const double b4 = beta * beta * beta * beta;
    const double a = pow(19000.0 * beta / re, 0.8);
    const double m = 2.0 * taps.downstream / (1.0 - beta);
    const double small_pipe = bore < 0.07112 ? 0.011 * (0.75 - beta) * (2.8 - bore / 0.0254) : 0.0;
    return 0.5961 + 0.0261 * beta * beta - 0.216 * b4 * b4 + 0.000521 * pow(1e6 * beta / re, 0.7) +
           (0.0188 + 0.0063 * a) * pow(beta, 3.5) * pow(1e6 / re, 0.3) +
           (0.043 + 0.080 * exp(-10.0 * taps.upstream) - 0.123 * exp(-7.0 * taps.upstream)) *
               (1.0 - 0.11 * a) * b4 / (1.0 - b4) -
           0.031 * (m - 0.8 * pow(m, 1.1)) * pow(beta, 1.3) + small_pipe;
}

/// Expansibility; `ratio` p2/p1 >= 0.75, `kappa` isentropic exponent.
inline double expansibility(double beta, double ratio, double kappa) {
    const double b4 = beta * beta * beta * beta;
    return 1.0 -
           (0.351 + 0.256 * b4 + 0.93 * b4 * b4) * (1.0 - arithmetic::pow(ratio, 1.0 / kappa));
}

/// Mass flow [kg/s] by the equation of ISO 5167-1 with a given coefficient; `hole` [m] bore of the
/// plate, `drop` [Pa], `density` upstream [kg/m3].
inline double orifice_plate_flow(
    double coefficient, double eps, double beta, double hole, double drop, double density) {
    constexpr double pi = 3.14159265358979323846;
    const double b4 = beta * beta * beta * beta;
    return coefficient / arithmetic::sqrt(1.0 - b4) * eps * 0.25 * pi * hole * hole *
           arithmetic::sqrt(2.0 * drop * density);
}

/// What a plate meters.
struct PlateFlow {
    double mass_flow;  ///< [kg/s]
    double coefficient;
    double reynolds;  ///< on the pipe
};

/// Coefficient and flow solved together (the coefficient depends on Re). SI; `bore` of the pipe.
inline PlateFlow solve_orifice_plate(double bore,
                                     double hole,
                                     double drop,
                                     double density,
                                     double viscosity,
                                     double eps,
                                     const Taps& taps) {
    constexpr double pi = 3.14159265358979323846;
    const double beta = hole / bore;
    PlateFlow flow{0.0, 0.6, 0.0};
    for (int i = 0; i < 30; ++i) {
        flow.mass_flow = orifice_plate_flow(flow.coefficient, eps, beta, hole, drop, density);
        flow.reynolds = 4.0 * flow.mass_flow / (pi * bore * viscosity);
        flow.coefficient = reader_harris_gallagher(beta, flow.reynolds, bore, taps);
    }
    return flow;
}

/// Permanent loss over the measured drop (ISO 5167-2, eq. 7).
inline double permanent_loss(double beta, double coefficient) {
    const double b2 = beta * beta;
    const double root = arithmetic::sqrt(1.0 - b2 * b2 * (1.0 - coefficient * coefficient));
    return (root - coefficient * b2) / (root + coefficient * b2);
}

}  // namespace plenair::reference

#pragma once

#include <array>

#include "solver/arithmetic/real.hpp"
#include "solver/arithmetic/table.hpp"

/// Loss of the entrance from a large chamber into a pipe, on the velocity head in the pipe;
/// `radius` of the bell mouth over the pipe's bore.
namespace plenair::laws {

inline constexpr std::array<double, 11> mouth_radius = {
    0.0, 0.01, 0.02, 0.03, 0.04, 0.05, 0.06, 0.08, 0.12, 0.16, 0.20};
inline constexpr std::array<double, 11> mouth_loss_idelchik = {
    0.50, 0.44, 0.37, 0.31, 0.26, 0.22, 0.20, 0.15, 0.09, 0.06, 0.03};

/// Idelchik 1986, Diagram 3-1, flush in the wall; held at 0.03 beyond radius 0.2. `sharp` scales
/// the table to another sharp-edged value (0.40 to 0.50).
/// theory T2
inline double mouth_loss(double radius, double sharp = 0.50) {
    PLENAIR_EXPECT(radius >= 0.0);
    return sharp / 0.50 * arithmetic::smooth_table(mouth_radius, mouth_loss_idelchik, radius);
}

/// Largest regain theta beside a cross-flow loss phi by the second law: as the outflow tends to
/// zero no energy may appear, theta <= 1 + phi/2.
/// theory T1
constexpr double largest_regain(double phi) {
    return 1.0 + 0.5 * phi;
}

/// Whether a pair of regain and cross-flow loss makes no energy; one that does is to be refused.
/// Rounding of decimal numbers is let pass.
constexpr bool regain_pair_allowed(double theta, double phi) {
    return theta <= largest_regain(phi) * (1.0 + 1e-12);
}

}  // namespace plenair::laws

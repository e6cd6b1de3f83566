#pragma once

#include <array>
#include <cstddef>

#include "solver/arithmetic/real.hpp"

/// Ideal-gas species by NASA-9 polynomials (McBride, Zehe, Gordon, NASA/TP-2002-211556), 200 to
/// 6000 K.
/// theory T3
namespace plenair::gas {

inline constexpr double universal_gas_constant = 8.314462618;  // J/mol K, exact in SI 2019
inline constexpr double reference_temperature = 298.15;  // K, of heats of formation

enum class Species : std::size_t { nitrogen, oxygen, argon, carbon_dioxide, water, nitrous_oxide };
inline constexpr std::size_t species_count = 6;

/// cp/R = a1 T^-2 + a2 T^-1 + a3 + a4 T + a5 T^2 + a6 T^3 + a7 T^4; b1, b2 integrate to h and s.
struct Nasa9 {
    std::array<double, 7> a;
    double b1, b2;
};

struct SpeciesData {
    double molar_mass;  ///< [kg/mol]
    Nasa9 low;  ///< below 1000 K
    Nasa9 high;  ///< from 1000 K on
};

inline constexpr std::array<SpeciesData, species_count> species_data = {{
    {28.0134e-3,
     {{2.210371497e4,
       -3.81846182e2,
       6.08273836,
       -8.53091441e-3,
       1.384646189e-5,
       -9.62579362e-9,
       2.519705809e-12},
      7.10846086e2,
      -1.076003744e1},
     {{5.87712406e5,
       -2.239249073e3,
       6.06694922,
       -6.1396855e-4,
       1.491806679e-7,
       -1.923105485e-11,
       1.061954386e-15},
      1.283210415e4,
      -1.586640027e1}},
    {31.9988e-3,
     {{-3.42556342e4,
       4.84700097e2,
       1.119010961,
       4.29388924e-3,
       -6.83630052e-7,
       -2.0233727e-9,
       1.039040018e-12},
      -3.39145487e3,
      1.84969947e1},
     {{-1.037939022e6,
       2.344830282e3,
       1.819732036,
       1.267847582e-3,
       -2.188067988e-7,
       2.053719572e-11,
       -8.19346705e-16},
      -1.689010929e4,
      1.738716506e1}},
    {39.948e-3,
     {{0, 0, 2.5, 0, 0, 0, 0}, -7.45375e2, 4.37967491},
     {{0, 0, 2.5, 0, 0, 0, 0}, -7.45375e2, 4.37967491}},
    {44.0095e-3,
     {{4.94365054e4,
       -6.26411601e2,
       5.30172524,
       2.503813816e-3,
       -2.127308728e-7,
       -7.68998878e-10,
       2.849677801e-13},
      -4.52819846e4,
      -7.04827944},
     {{1.176962419e5,
       -1.788791477e3,
       8.29152319,
       -9.22315678e-5,
       4.86367688e-9,
       -1.891053312e-12,
       6.33003659e-16},
      -3.90835059e4,
      -2.652669281e1}},
    {18.01528e-3,
     {{-3.94796083e4,
       5.75573102e2,
       9.31782653e-1,
       7.22271286e-3,
       -7.34255737e-6,
       4.95504349e-9,
       -1.336933246e-12},
      -3.30397431e4,
      1.724205775e1},
     {{1.034972096e6,
       -2.412698562e3,
       4.64611078,
       2.291998307e-3,
       -6.83683048e-7,
       9.42646893e-11,
       -4.82238053e-15},
      -1.384286509e4,
      -7.97814851}},
    {44.0128e-3,
     {{4.28822597e4,
       -6.44011844e2,
       6.03435143,
       2.265394436e-4,
       3.47278285e-6,
       -3.62774864e-9,
       1.137969552e-12},
      1.179405506e4,
      -1.00312857e1},
     {{3.43844804e5,
       -2.404557558e3,
       9.12563622,
       -5.40166793e-4,
       1.315124031e-7,
       -1.4142151e-11,
       6.38106687e-16},
      2.198632638e4,
      -3.147805016e1}},
}};

constexpr const SpeciesData& data(Species s) {
    return species_data[static_cast<std::size_t>(s)];
}

namespace detail {
constexpr const Nasa9& piece(const SpeciesData& s, double t) {
    PLENAIR_EXPECT(t > 0.0);
    return t < 1000.0 ? s.low : s.high;
}
}  // namespace detail

/// cp/R of a species at T [K].
constexpr double heat_capacity_over_r(const SpeciesData& s, double t) {
    const auto& a = detail::piece(s, t).a;
    return a[0] / (t * t) + a[1] / t + a[2] + t * (a[3] + t * (a[4] + t * (a[5] + t * a[6])));
}

/// Molar enthalpy with heat of formation over R T.
constexpr double enthalpy_over_rt(const SpeciesData& s, double t) {
    const Nasa9& p = detail::piece(s, t);
    const auto& a = p.a;
    return -a[0] / (t * t) + a[1] * arithmetic::log(t) / t + a[2] +
           t * (a[3] / 2 + t * (a[4] / 3 + t * (a[5] / 4 + t * a[6] / 5))) + p.b1 / t;
}

}  // namespace plenair::gas

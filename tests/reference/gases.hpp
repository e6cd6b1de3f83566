#pragma once

#include <array>
#include <cmath>

/// Air and products of combustion for the reference engine: seven-coefficient polynomials of cp/R
/// (nitrogen: Burcat and Ruscic 2005; the rest GRI-Mech 3.0, Smith et al. 1999; from memory),
/// another set than the product's.
namespace plenair::reference {

inline constexpr double universal_gas = 8.314462618;  // J/mol K, CODATA 2018

/// cp/R = a0 + a1 T + a2 T^2 + a3 T^3 + a4 T^4 below and above 1000 K; h/R = its integral + a5.
struct SpeciesPolynomial {
    double molar_mass;  // kg/mol
    std::array<double, 6> low, high;

    [[nodiscard]] const std::array<double, 6>& at(double t) const { return t < 1000 ? low : high; }
    [[nodiscard]] double cp_over_r(double t) const {
        const auto& a = at(t);
        return a[0] + t * (a[1] + t * (a[2] + t * (a[3] + t * a[4])));
    }
    [[nodiscard]] double h_over_r(double t) const {
        const auto& a = at(t);
        return a[5] + t * (a[0] + t * (a[1] / 2 + t * (a[2] / 3 + t * (a[3] / 4 + t * a[4] / 5))));
    }
};

// N2, O2, Ar, CO2, H2O
inline constexpr std::array<SpeciesPolynomial, 5> species = {{
    {28.0134e-3,
     {3.53100528, -1.23660988e-4, -5.02999433e-7, 2.43530612e-9, -1.40881235e-12, -1046.97628},
     {2.95257637, 1.39690040e-3, -4.92631603e-7, 7.86010195e-11, -4.60755204e-15, -923.948688}},
    {31.9988e-3,
     {3.78245636, -2.99673416e-3, 9.84730201e-6, -9.68129509e-9, 3.24372837e-12, -1063.94356},
     {3.28253784, 1.48308754e-3, -7.57966669e-7, 2.09470555e-10, -2.16717794e-14, -1088.45772}},
    {39.948e-3, {2.5, 0, 0, 0, 0, -745.375}, {2.5, 0, 0, 0, 0, -745.375}},
    {44.0095e-3,
     {2.35677352, 8.98459677e-3, -7.12356269e-6, 2.45919022e-9, -1.43699548e-13, -48371.9697},
     {3.85746029, 4.41437026e-3, -2.21481404e-6, 5.23490188e-10, -4.72084164e-14, -48759.1660}},
    {18.01528e-3,
     {4.19864056, -2.03643410e-3, 6.52040211e-6, -5.48797062e-9, 1.77197817e-12, -30293.7267},
     {3.03399249, 2.17691804e-3, -1.64072518e-7, -9.70419870e-11, 1.68200992e-14, -30004.2971}},
}};

/// A mixture by its moles, in the order of the species.
struct MixedGas {
    std::array<double, 5> moles{};

    [[nodiscard]] double mass() const {
        double sum = 0;
        for (std::size_t i = 0; i < moles.size(); ++i) {
            sum += moles[i] * species[i].molar_mass;
        }
        return sum;
    }
    /// [J/kg K]
    [[nodiscard]] double gas_constant() const {
        double sum = 0;
        for (const double n : moles) {
            sum += n;
        }
        return sum * universal_gas / mass();
    }
    [[nodiscard]] double cp(double t) const {
        double sum = 0;
        for (std::size_t i = 0; i < moles.size(); ++i) {
            sum += moles[i] * species[i].cp_over_r(t);
        }
        return sum * universal_gas / mass();
    }
    /// Enthalpy above that at 298.15 K [J/kg].
    [[nodiscard]] double enthalpy(double t) const {
        double sum = 0;
        for (std::size_t i = 0; i < moles.size(); ++i) {
            sum += moles[i] * (species[i].h_over_r(t) - species[i].h_over_r(298.15));
        }
        return sum * universal_gas / mass();
    }
    [[nodiscard]] double gamma(double t) const { return cp(t) / (cp(t) - gas_constant()); }
};

/// Air of the standard composition with `humidity` kg of water vapour per kg of dry air.
inline MixedGas air_gas(double humidity) {
    MixedGas air{{0.78084, 0.209476, 0.009365, 0.000319, 0}};
    air.moles[4] = humidity * air.mass() / species[4].molar_mass;
    return air;
}

/// Products of a fuel C H_y O_z that has burned all the oxygen of that air.
inline MixedGas products_of(MixedGas air, double hydrogen_carbon, double oxygen_carbon) {
    const double carbon = air.moles[1] / (1 + 0.25 * hydrogen_carbon - 0.5 * oxygen_carbon);
    air.moles[1] = 0;
    air.moles[3] += carbon;
    air.moles[4] += 0.5 * hydrogen_carbon * carbon;
    return air;
}

}  // namespace plenair::reference

#pragma once

#include <array>
#include <cstddef>

#include "solver/arithmetic/real.hpp"
#include "solver/gas/species.hpp"

namespace plenair::gas {

/// Composition by mass fractions that add to 1; thermally perfect. SI, per kg.
struct Mixture {
    std::array<double, species_count> mass_fraction{};

    [[nodiscard]] static constexpr Mixture from_moles(
        const std::array<double, species_count>& moles) {
        Mixture mixture;
        double mass = 0;
        for (std::size_t i = 0; i < species_count; ++i) {
            mixture.mass_fraction[i] = moles[i] * species_data[i].molar_mass;
            mass += mixture.mass_fraction[i];
        }
        for (double& fraction : mixture.mass_fraction) fraction /= mass;
        return mixture;
    }

    [[nodiscard]] constexpr double operator[](Species s) const {
        return mass_fraction[static_cast<std::size_t>(s)];
    }

    /// Gas constant [J/kg K].
    [[nodiscard]] constexpr double gas_constant() const {
        return sum([](const SpeciesData&) { return 1.0; });
    }
    [[nodiscard]] constexpr double molar_mass() const {
        return universal_gas_constant / gas_constant();
    }
    /// Heat capacity at constant pressure [J/kg K].
    [[nodiscard]] constexpr double cp(double t) const {
        return sum([t](const SpeciesData& s) { return heat_capacity_over_r(s, t); });
    }
    [[nodiscard]] constexpr double cv(double t) const { return cp(t) - gas_constant(); }
    [[nodiscard]] constexpr double gamma(double t) const { return cp(t) / cv(t); }
    /// Enthalpy with heats of formation [J/kg].
    [[nodiscard]] constexpr double enthalpy(double t) const {
        return sum([t](const SpeciesData& s) { return t * enthalpy_over_rt(s, t); });
    }
    /// Speed of sound [m/s].
    [[nodiscard]] double sound_speed(double t) const {
        return arithmetic::sqrt(gamma(t) * gas_constant() * t);
    }

private:
    template <class PerMole>
    [[nodiscard]] constexpr double sum(PerMole&& per_mole) const {
        double total = 0;
        for (std::size_t i = 0; i < species_count; ++i)
            total += mass_fraction[i] * universal_gas_constant / species_data[i].molar_mass *
                     per_mole(species_data[i]);
        return total;
    }
};

/// Mole fractions of dry air: 78.084 % N2, 20.9476 % O2, 0.9365 % Ar, 0.0319 % CO2 (composition of
/// NASA/TP-2002-211556).
inline constexpr std::array<double, species_count> dry_air_moles = {
    0.78084, 0.209476, 0.009365, 0.000319, 0.0, 0.0};

constexpr Mixture dry_air() {
    return Mixture::from_moles(dry_air_moles);
}

/// Air with `humidity_ratio` kg of water vapour per kg of dry air.
constexpr Mixture humid_air(double humidity_ratio) {
    PLENAIR_EXPECT(humidity_ratio >= 0.0);
    Mixture air = dry_air();
    for (double& fraction : air.mass_fraction) fraction /= 1.0 + humidity_ratio;
    air.mass_fraction[static_cast<std::size_t>(Species::water)] +=
        humidity_ratio / (1.0 + humidity_ratio);
    return air;
}

/// Fuel C H_y O_z by its atom ratios.
struct Fuel {
    double hydrogen_carbon = 1.87;
    double oxygen_carbon = 0.0;

    /// Molar mass per carbon atom [kg/mol].
    [[nodiscard]] constexpr double molar_mass() const {
        return 12.0107e-3 + 1.00794e-3 * hydrogen_carbon + 15.9994e-3 * oxygen_carbon;
    }
    /// Moles of O2 that burn it, per carbon atom.
    [[nodiscard]] constexpr double oxygen_demand() const {
        return 1.0 + 0.25 * hydrogen_carbon - 0.5 * oxygen_carbon;
    }
};

/// Products of complete burning of `fuel` in `air` (dry or humid) at air ratio `lambda`. Lean:
/// excess air stays. Rich: the products of a stoichiometric mixture; carbon monoxide and hydrogen
/// are outside the model.
constexpr Mixture burned_products(const Fuel& fuel, const Mixture& air, double lambda = 1.0) {
    PLENAIR_EXPECT(air[Species::oxygen] > 0.0);
    const double supply = lambda > 1.0 ? lambda : 1.0;
    const double oxygen_mass = fuel.oxygen_demand() * data(Species::oxygen).molar_mass;
    const double air_mass = supply * oxygen_mass / air[Species::oxygen];
    std::array<double, species_count> moles{};
    for (std::size_t i = 0; i < species_count; ++i)
        moles[i] = air.mass_fraction[i] * air_mass / species_data[i].molar_mass;
    moles[static_cast<std::size_t>(Species::oxygen)] =
        arithmetic::max(0.0, (supply - 1.0) * fuel.oxygen_demand());
    moles[static_cast<std::size_t>(Species::carbon_dioxide)] += 1.0;
    moles[static_cast<std::size_t>(Species::water)] += 0.5 * fuel.hydrogen_carbon;
    return Mixture::from_moles(moles);
}

}  // namespace plenair::gas

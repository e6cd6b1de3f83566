#pragma once

/// Dry air as a perfect gas, where no mixture of species is asked for.
namespace plenair::gas {

/// Gas constant [J/(kg K)], the rounded value of the standard atmosphere.
/// @source ISO 2533:1975, 287.05287.
inline constexpr double air_gas_constant = 287.05;
/// The same from the molar mass that humidity is computed with: 8.314463 J/(mol K) / 28.9647 g/mol.
/// Beside the rounded one because densities of measured air have been computed with it.
inline constexpr double air_gas_constant_by_mass = 287.055;

/// Ratio of specific heats of two-atomic molecules that do not vibrate.
inline constexpr double air_gamma = 1.4;

}  // namespace plenair::gas

#pragma once

#include <string_view>

/// In which units people read the metal: the only place that says so. Air is read in kPa, K and g/s
/// everywhere.
namespace plenair::geometry {

enum class UnitSystem {
    metric,  ///< mm, mm2, cc and L
    inch  ///< in, in2, in3
};

/// Chosen from the units that most of a case is written in, or by an option.
struct OutputUnits {
    UnitSystem system = UnitSystem::metric;

    [[nodiscard]] constexpr bool inches() const { return system == UnitSystem::inch; }
    /// What stands in place of a metric unit of lengths, areas and volumes: "in" for "mm"; other
    /// units stay.
    [[nodiscard]] std::string_view in_place_of(std::string_view metric_unit) const;
    /// Decimals that say about as much in that unit as `decimals` in the metric one: 0.1 mm is
    /// about 0.004 in.
    [[nodiscard]] int decimals(std::string_view metric_unit, int decimals) const;

    bool operator==(const OutputUnits&) const = default;
};

}  // namespace plenair::geometry

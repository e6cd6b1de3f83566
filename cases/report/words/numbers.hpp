#pragma once

#include "cases/study/quantities.hpp"

#include <optional>
#include <string>
#include <vector>

namespace plenair {

/// Ratio in percent.
[[nodiscard]] double percent(double ratio);
/// Ratio as percent with one decimal and its sign: "+0.5", "-1.4", "0.0"; "-" where not finite.
[[nodiscard]] std::string signed_percent(double ratio);
/// Fixed decimals, "-" where not finite.
[[nodiscard]] std::string fixed(double value, int decimals);
/// "1.0e-07", "-" where not finite.
[[nodiscard]] std::string scientific(double value);

/// Whether air passes a metering slot there; without one its numbers are zero and say nothing.
[[nodiscard]] bool has_slot(const PointResult& point);

/// A number in the unit that people read, with its digits and sign, without the unit.
/// @param value  in SI
template <class Result>
[[nodiscard]] std::string shown_number(const Quantity<Result>& quantity, double value) {
    if (quantity.form == Form::scientific) return scientific(value);
    const std::string text = fixed(for_people(value, quantity.unit), quantity.digits);
    const bool plain = text.find_first_of("123456789") == std::string::npos || text[0] == '-';
    return quantity.form == Form::fixed || plain ? text : "+" + text;
}

/// Notes of a point in one cell of a table: "first; second".
[[nodiscard]] std::string joined_notes(const PointResult& point);

/// How the flow along a slot is distributed.
struct SlotShape {
    double start_over_mean = 0;  ///< flow per length at the x = 0 end over the mean
    double far_over_mean = 0;  ///< at the far end over the mean
    double spread = 0;  ///< (largest - smallest) / mean
};

/// Shape of a flow per length [kg/(s m)] given at cell centres x [m]; the ends are reached by a
/// parabola, through the outer three cells or best through the outermost sixth of many. Nothing
/// with fewer than two cells or x not ascending.
[[nodiscard]] std::optional<SlotShape> slot_shape(const std::vector<double>& x,
                                                  const std::vector<double>& flow_per_length);

/// The same of a row of holes, from the flow of each [kg/s]: first and last hole over the mean.
[[nodiscard]] std::optional<SlotShape> hole_shape(const std::vector<double>& hole_flow);

/// What a bench result means in derived numbers.
struct BenchNumbers {
    double cfm_density = 0;  ///< density to which the volume flow refers [kg/m3]
    double volume_flow = 0;  ///< [m3/s] at that density
    std::vector<std::optional<double>> bias;  ///< of each open runner against their mean; empty
                                              ///< with fewer than two open
    std::optional<SlotShape> slot;
};

/// @param reference_density [kg/m3], 0: that of the room air
[[nodiscard]] BenchNumbers bench_numbers(const BenchResult& result, double reference_density);

/// Number of a runner of a set-up: that of its cylinder where it is known, else counted from 1.
/// @param runner  place in flow_per_runner
[[nodiscard]] int runner_number(const BenchResult& result, std::size_t runner);

/// Largest flow bias minus smallest, 0 without biases.
[[nodiscard]] double runner_spread(const BenchNumbers& numbers);

}  // namespace plenair

#pragma once

#include "geometry/quantity.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// How other people write units. plenair reads none of these: a refusal says what is meant, so that
/// the writer decides ("C" is no unit, and "degC" is what most would mean by it).
namespace plenair::geometry {

/// The unit that another spelling means: one of it is `factor` of the unit.
struct MeantUnit {
    std::string_view unit;
    double factor = 1;
};

/// What "millimetre", "deg C", "1/min" or "sq. mm" means among the units of a dimension, in
/// capitals or not; nothing for text that means none of them.
[[nodiscard]] std::optional<MeantUnit> meant_unit(std::string_view spelling, Dimension dimension);

/// The spellings, of four letters and more, of units of a dimension: a misspelt one is near to it.
[[nodiscard]] std::vector<std::string> long_spellings(Dimension dimension);

/// "abs" of "absolute" and "(a)", "g" of "gauge"; empty for other words.
[[nodiscard]] std::string_view meant_reference(std::string_view word);

}  // namespace plenair::geometry

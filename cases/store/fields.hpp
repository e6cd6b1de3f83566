#pragma once

#include "cases/store/grid_writer.hpp"
#include "cases/study/quantities.hpp"

#include <limits>
#include <string>

namespace plenair {

/// What a file holds where nothing was computed.
inline constexpr double not_computed = std::numeric_limits<double>::quiet_NaN();

/// How a quantity is labelled in a file.
template <class Result>
[[nodiscard]] Label label_of(const Quantity<Result>& quantity) {
    return {quantity.name, quantity.units, quantity.long_name};
}

/// Name of a part or quantity as a dataset name: lower case, every other sign an underscore.
[[nodiscard]] std::string dataset_name(const std::string& text);

}  // namespace plenair

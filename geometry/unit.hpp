#pragma once

#include "geometry/quantity.hpp"

#include <span>
#include <string_view>

namespace plenair::geometry {

/// SI value = value x factor + offset.
struct Unit {
    std::string_view name;
    Dimension dimension;
    double factor;
    double offset = 0;
};

/// Every unit plenair reads; the first of a dimension is the usual one.
[[nodiscard]] std::span<const Unit> units();

/// Unit of that exact name, of the wanted dimension if several share it; nullptr where there is
/// none.
[[nodiscard]] const Unit* find_unit(std::string_view name);
[[nodiscard]] const Unit* find_unit(std::string_view name, Dimension dimension);

}  // namespace plenair::geometry

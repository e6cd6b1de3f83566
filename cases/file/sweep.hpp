#pragma once

#include "cases/study/sweep.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace plenair {

/// Most variants of a sweep unless told otherwise.
inline constexpr std::size_t default_variant_limit = 1000000;

/// Most variants, and what to do where more are wanted than fewer steps give.
struct VariantLimit {
    std::size_t most = default_variant_limit;
    std::string otherwise = "raise it with --limit";
};

/// Reads a case file and its [sweep]. What is wrong with the case itself or with one swept value
/// alone is refused; values that do not fit together fail later, each variant for itself.
/// @param sets  overrides "key=value", as after --set
/// @param limit  most variants
/// @param precision  "double", or "single" for search lanes
/// @throws InputError with every message, in file order; where the case has no engine, no point or
/// no [sweep]; where the variants are more than the limit, with both numbers
/// @throws ReadError  where the file cannot be opened
[[nodiscard]] SweepPlan read_sweep(const std::string& path,
                                   const std::vector<std::string>& sets,
                                   const VariantLimit& limit = {},
                                   const std::string& precision = "double");

}  // namespace plenair

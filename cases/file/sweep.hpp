#pragma once

#include "cases/study/sweep.hpp"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <string>
#include <string_view>
#include <vector>

namespace plenair {

/// Most variants of a sweep unless told otherwise.
inline constexpr std::size_t default_variant_limit = 1000000;
/// Beyond this the names of blocks are used up (blocks/0000/00000000.cbor, 512 variants each); the
/// browser's sizes end before.
inline constexpr auto most_variants = static_cast<std::size_t>(
    std::min<std::uint64_t>(50'000'000'000, std::numeric_limits<std::size_t>::max()));

/// Most variants, and what to do where more are wanted than fewer steps give.
struct VariantLimit {
    std::size_t most = default_variant_limit;
    std::string otherwise = "raise it with --limit";
};

/// A case and its [sweep]. What is wrong with the case itself or with one swept value
/// alone is refused; values that do not fit together fail later, each variant for itself.
/// @param text  of the case file
/// @param path  its name, for messages
/// @param sets  overrides "key=value", as after --set
/// @param limit  most variants
/// @param precision  "double", or "single"
/// @throws InputError with every message, in file order; where the case has no engine, no point or
/// no [sweep]; where the variants are more than the limit, with both numbers
[[nodiscard]] SweepPlan parse_sweep(std::string_view text,
                                    std::string path,
                                    const std::vector<std::string>& sets,
                                    const VariantLimit& limit = {},
                                    const std::string& precision = "double");

/// The same of a file.
/// @throws ReadError  where the file cannot be opened
[[nodiscard]] SweepPlan read_sweep(const std::string& path,
                                   const std::vector<std::string>& sets,
                                   const VariantLimit& limit = {},
                                   const std::string& precision = "double");

}  // namespace plenair

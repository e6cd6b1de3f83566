#pragma once

#include "cases/file/message.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace plenair::file {

/// What is wrong with a text, and where.
struct SignFault {
    Place place;
    std::string text;
};

/// Looks at a text before the TOML parser (3.3) does, in one pass: characters outside quotes and
/// comments that no TOML has there but that the parser takes for impossible (U+0122 right after a
/// number), and keys, lists and tables so deep that they would cost more stack than there is.
/// @returns the first fault; none where the parser may read it
[[nodiscard]] std::optional<SignFault> sign_fault(std::string_view text);

}  // namespace plenair::file

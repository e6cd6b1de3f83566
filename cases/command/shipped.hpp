#pragma once

#include <span>
#include <string_view>

namespace plenair::command {

/// A case that comes with the program.
struct ShippedCase {
    std::string_view name;  ///< of its folder; "marine-six/log" of several in one
    std::string_view text;  ///< case.toml
};

/// By name. Made at build time from cases/shipped.
[[nodiscard]] std::span<const ShippedCase> shipped_cases();

}  // namespace plenair::command

#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace plenair::geometry {

/// The text with what is meant in the place of each character that only looks like one of numbers,
/// as word processors and foreign keyboards make them: a no-break space, a typographic minus,
/// digits of full width. Nothing where there is none.
[[nodiscard]] std::optional<std::string> plain_signs(std::string_view whole);

}  // namespace plenair::geometry

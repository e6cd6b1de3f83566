#pragma once

#include <charconv>
#include <cstddef>
#include <optional>
#include <string_view>

namespace plenair {

/// The number that a text is, from 0 up, in digits and nothing else; none where it is no such text.
[[nodiscard]] inline std::optional<std::size_t> whole_number(std::string_view text) {
    std::size_t number = 0;
    const char* end = text.data() + text.size();
    const auto read = std::from_chars(text.data(), end, number);
    return read.ec == std::errc{} && read.ptr == end ? std::optional(number) : std::nullopt;
}

}  // namespace plenair

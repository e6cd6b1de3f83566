#pragma once

#include <string>
#include <string_view>

namespace plenair {

/// SHA-256 of the bytes as 64 hexadecimal digits (FIPS 180-4).
[[nodiscard]] std::string sha256(std::string_view bytes);

}  // namespace plenair

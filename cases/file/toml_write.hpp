#pragma once

#include "cases/file/toml_names.hpp"

#include <string>
#include <string_view>

/// TOML text from what was parsed. The parser's own writer (3.3) casts negative numbers to unsigned
/// ones and keeps control characters.
namespace plenair::file {

/// The whole document; read again, it gives the same entries with the same bits.
[[nodiscard]] std::string toml_document(const toml::table& table);

/// A value as it stands behind "key = ", tables inline.
[[nodiscard]] std::string toml_value(const toml::node& node);

/// A key, in quotes where it needs them.
[[nodiscard]] std::string toml_key(std::string_view key);

/// Text in quotes, with every control character escaped.
[[nodiscard]] std::string toml_string(std::string_view text);

}  // namespace plenair::file

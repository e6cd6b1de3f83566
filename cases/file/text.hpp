#pragma once

#include "cases/file/message.hpp"
#include "cases/file/toml_names.hpp"

#include <string>
#include <string_view>

namespace plenair::file {

/// The path that stands for standard input.
inline constexpr std::string_view standard_input = "-";

/// Characters of a line, and so of what --set puts into one. Deep keys on one endless line would
/// nest tables without limit.
inline constexpr std::size_t longest_line = 10000;

/// What messages call the file: its path, or "standard input".
[[nodiscard]] std::string shown_path(const std::string& path);

/// The whole file. Standard input is read once and kept, for verbs that read their case twice.
/// @throws InputError  above 4 MB
/// @throws ReadError  where the file cannot be opened or is a directory
[[nodiscard]] std::string read_text(const std::string& path);

/// Reports text that cannot be a case file at all.
void check_text(std::string_view text, Messages& messages);

/// The file after --set, so that stored results can be computed again from it.
[[nodiscard]] std::string text_after(std::string_view text, const toml::table& table, bool changed);

/// The key, as written, of the value that begins at a place of a TOML text.
[[nodiscard]] std::string key_before(std::string_view text, Place place);

}  // namespace plenair::file

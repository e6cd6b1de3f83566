#pragma once

#include <filesystem>
#include <functional>
#include <string>

namespace plenair::command {

/// Refuses a name for a TOML file that a person goes on with by hand: one that does not end in
/// .toml, or a file that is there already and that their work may be in.
/// @param option, what  "-o", "case" for messages
/// @throws InputError, WriteError
void refuse_existing_toml(const std::string& path,
                          const std::string& option,
                          const std::string& what);

/// The file itself where `path` is a link, be the file there yet or not, so that the rename does
/// not replace the link.
/// @throws WriteError  where links lead to one another
[[nodiscard]] std::filesystem::path target_of(const std::string& path);

/// Refuses a path that could not be written later, before time is spent on computing.
/// Leaves nothing behind.
/// @throws WriteError  with path and reason
void refuse_unwritable(const std::string& path);

/// Lets `writer` fill a file beside `path`, then renames it: `path` is either old or complete.
/// @throws WriteError  with path and reason; the file beside is removed
void write_beside(const std::string& path, const std::function<void(const std::string&)>& writer);

/// Same, for text that is at hand.
void write_text(const std::string& path, const std::string& text);

}  // namespace plenair::command

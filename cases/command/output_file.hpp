#pragma once

#include <functional>
#include <string>

namespace plenair::command {

enum class FileKind { hdf5, json, csv };

/// Kind of an output file by its ending (.h5, .json, .csv).
/// @throws InputError  for any other ending
[[nodiscard]] FileKind file_kind(const std::string& path);

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

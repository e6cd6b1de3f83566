#pragma once

#include <string>

namespace plenair {

/// Why nothing can be read from a path as from a file: it is a folder, or a device, which may have
/// no end. Empty where it is a file or a pipe, or is not there: opening it then says why.
[[nodiscard]] std::string no_file_reason(const std::string& path);

}  // namespace plenair

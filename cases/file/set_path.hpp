#pragma once

#include "cases/file/toml_names.hpp"

#include <string>
#include <string_view>
#include <vector>

/// Whether --set names an entry at all, seen before anything is changed.
namespace plenair::file {

/// Why nothing can be set where a path leads: it ends at a section or a list, leads into banks that
/// the case has not, or has the number of a list's value in the middle. Empty where it may be
/// tried.
/// @param path  parts of the key, none empty
/// @param value  as written behind the equals sign
[[nodiscard]] std::string set_path_fault(const toml::table& table,
                                         const std::vector<std::string>& path,
                                         std::string_view value);

}  // namespace plenair::file

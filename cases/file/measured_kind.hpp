#pragma once

#include "cases/file/toml_names.hpp"

/// Case files and measured files are taken for one another.
namespace plenair::file {

/// Whether the tables of a file are those of a measured file, and no part of an intake is among
/// them.
[[nodiscard]] bool is_measured_file(const toml::table& table);
/// Whether they are those of a case, and no reading is among them.
[[nodiscard]] bool is_case_file(const toml::table& table);

}  // namespace plenair::file

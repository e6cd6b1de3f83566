#pragma once

#include "cases/study/case.hpp"
#include "geometry/error.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace plenair {

/// Reads a case file (TOML 1.0, docs/case-file.md) into SI units. "-" is standard input.
/// @param sets  overrides "key=value", as after --set
/// @throws InputError with every message of the file, in file order; also above 4 MB
/// @throws ReadError  where the file cannot be opened or is a directory
[[nodiscard]] Case read_case(const std::string& path, const std::vector<std::string>& sets);

/// The same from text in memory; `path` names it in messages.
[[nodiscard]] Case parse_case(std::string_view text,
                              std::string path,
                              const std::vector<std::string>& sets);

/// JSON Schema (draft 2020-12) of the case file, for editors that complete TOML.
[[nodiscard]] std::string json_schema();

/// The page docs/case-file.md, made from the key table.
[[nodiscard]] std::string case_file_manual();

}  // namespace plenair

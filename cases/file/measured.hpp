#pragma once

#include "cases/study/case.hpp"
#include "cases/study/measured.hpp"

#include <string>
#include <string_view>

namespace plenair {

/// Reads a measured file (TOML 1.0, docs/measured-file.md) of a case into SI units. CSV files that
/// it names are looked for beside it.
/// @throws InputError with every message of the file, in file order
/// @throws ReadError  where the file cannot be opened or is a directory
[[nodiscard]] Measured read_measured(const std::string& path, const Case& c);

/// The same from text in memory; `path` names it in messages.
[[nodiscard]] Measured parse_measured(std::string_view text, std::string path, const Case& c);

/// A measured file of the case with everything to be filled in, as comments.
[[nodiscard]] std::string blank_measured(const Case& c);

/// The page docs/measured-file.md, made from the key table.
[[nodiscard]] std::string measured_file_manual();

}  // namespace plenair

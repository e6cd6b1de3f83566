#pragma once

#include "cases/study/tolerance.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace plenair {

/// A case and its [tolerance]; without that section every dimension has its default.
/// @param text  of the case file
/// @param path  its name, for messages
/// @param sets  overrides "key=value", as after --set
/// @throws InputError with every message, in file order; where the case has no engine or no point
[[nodiscard]] TolerancePlan parse_tolerance(std::string_view text,
                                            std::string path,
                                            const std::vector<std::string>& sets);

/// The same of a file.
/// @throws ReadError  where the file cannot be opened
[[nodiscard]] TolerancePlan read_tolerance(const std::string& path,
                                           const std::vector<std::string>& sets);

/// How far each dimension of a case may be off, of a rig and of a case without points too.
/// @throws ReadError  where the file cannot be opened
/// @throws InputError with every message, in file order
[[nodiscard]] std::vector<ToleratedDimension> read_limits(const std::string& path,
                                                          const std::vector<std::string>& sets);

}  // namespace plenair

#pragma once

#include "cases/study/unsteady.hpp"

#include <string>
#include <vector>

namespace plenair {

/// A rig and its [transient].
/// @param path  of the case file
/// @param sets  overrides "key=value", as after --set
/// @throws InputError with every message, in file order; where the case has an engine or no such
/// section. ReadError where the file cannot be opened
[[nodiscard]] TransientPlan read_transient(const std::string& path,
                                           const std::vector<std::string>& sets);

/// A rig and its [response]; throws likewise.
[[nodiscard]] ResponsePlan read_response(const std::string& path,
                                         const std::vector<std::string>& sets);

}  // namespace plenair

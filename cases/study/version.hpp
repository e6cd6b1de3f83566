#pragma once

namespace plenair {

/// Version of the program, "0.1.0".
[[nodiscard]] const char* version();
/// Commit it was built from, 12 digits; "-changed" is appended where tracked files differed from
/// it.
[[nodiscard]] const char* git_sha();

}  // namespace plenair

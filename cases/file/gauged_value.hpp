#pragma once

#include "cases/study/case.hpp"
#include "cases/study/measured.hpp"

#include <cstddef>
#include <optional>
#include <string>

namespace plenair::file {

/// What was gauged of the throttle or of the runners of one bank, as TOML for the entry of that
/// name, in the units of the case: one for all, or one a runner.
/// @returns none where the gauge is not of that bank, or the case writes the entry in a way that
/// has no place for it: several throttles, a bore of more than two stations
/// @pre gauge.entry begins with "throttle." or "runner."
[[nodiscard]] std::optional<std::string> gauged_value(const Case& c,
                                                      const GaugeReading& gauge,
                                                      std::size_t bank);

}  // namespace plenair::file

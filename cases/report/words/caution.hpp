#pragma once

#include "cases/study/assumption.hpp"

#include <string>
#include <vector>

namespace plenair {

/// What has been held against measurements and how far off it was, what has not, and how to
/// calibrate.
[[nodiscard]] std::string hardware_words();
/// The same in lines for a terminal, as they stand beside every distribution figure.
[[nodiscard]] std::string model_limits();
/// What nobody has confirmed, by name, and where its basis is found; empty where there is nothing.
[[nodiscard]] std::string assumed_lines(const std::vector<Assumption>& assumed);
/// What every report ends with; it cannot be switched off.
[[nodiscard]] std::string cautions();
/// What comes before them where nitrous is reckoned.
[[nodiscard]] std::string nitrous_cautions();

}  // namespace plenair

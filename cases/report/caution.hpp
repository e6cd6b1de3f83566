#pragma once

#include <string>

namespace plenair {

/// How far a share may be trusted: two lines that stand beside every distribution figure.
[[nodiscard]] std::string model_limits();
/// What every report ends with; it cannot be switched off.
[[nodiscard]] std::string cautions();
/// What comes before them where nitrous is reckoned.
[[nodiscard]] std::string nitrous_cautions();

}  // namespace plenair

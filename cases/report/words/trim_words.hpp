#pragma once

#include <string>

namespace plenair {

/// What the sign of a trim means; stands beside every trim.
[[nodiscard]] std::string trim_sign();
/// How the tuner begins: stands under every set of trims.
[[nodiscard]] std::string trim_start_advice();
/// What the nitrous figures are and are not.
[[nodiscard]] std::string nitrous_limits();

}  // namespace plenair

#pragma once

#include "cases/report/html.hpp"

#include <string>

/// What readings of the metal said.
namespace plenair::html {

/// The whole section: what was learned, how well it fits, what to measure next.
[[nodiscard]] std::string learned_text(const Learned& learned, const Case& design);

}  // namespace plenair::html

#pragma once

#include <string>

namespace plenair {

/// Text after a label, broken at 92 columns; the lines below stand under the first word.
[[nodiscard]] std::string wrapped(const std::string& label, const std::string& text);

}  // namespace plenair

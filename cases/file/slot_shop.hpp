#pragma once

#include "cases/study/case.hpp"
#include "geometry/slot_shop.hpp"

#include <vector>

namespace plenair {

/// What the case says of its slots for the shop alone, a bank each; the defaults for a bank without
/// slot. Read from the text of the case, which was checked when it was read.
[[nodiscard]] std::vector<geometry::SlotShop> slot_shops(const Case& c);

}  // namespace plenair

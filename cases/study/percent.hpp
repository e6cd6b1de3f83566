#pragma once

#include "geometry/quantity.hpp"

namespace plenair::study {

/// A ratio as people read it [%].
[[nodiscard]] inline double in_percent(double ratio) {
    return geometry::to_unit(ratio, "%");
}

}  // namespace plenair::study

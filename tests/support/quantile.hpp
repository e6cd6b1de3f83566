#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

namespace plenair::test {

/// The value that a part `at` of the others lies below: 0 the smallest, 1 the largest.
/// @pre `values` is not empty
[[nodiscard]] inline double quantile(std::vector<double> values, double at) {
    std::sort(values.begin(), values.end());
    return values[static_cast<std::size_t>(at * static_cast<double>(values.size() - 1))];
}

}  // namespace plenair::test

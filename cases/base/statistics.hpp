#pragma once

#include <cstddef>
#include <utility>

namespace plenair {

/// Where the standard normal distribution has the part `share` below, 0 < share < 1.
[[nodiscard]] double normal_quantile(double share);

/// The 95 % interval of a probability of which `good` of `all` trials were seen (Clopper and
/// Pearson 1934, Biometrika 26, 404-413). @pre good <= all, all > 0
[[nodiscard]] std::pair<double, double> probability_interval(std::size_t good, std::size_t all);

}  // namespace plenair

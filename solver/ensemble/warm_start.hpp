#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace plenair {

/// Of two places in a design, equally many numbers each.
[[nodiscard]] double squared_distance(const std::vector<double>& a, const std::vector<double>& b);

/// Weights, summing to one, with which values known at scattered places give the value at another:
/// the smooth surface of least bending through the known ones, exact for any plane (the cubic
/// spline on a line).
/// @param places  known places, each `dimension` numbers of order one
/// @param target  where the value is wanted
/// @returns one weight a place; the weight of the nearest alone where the surface would be far from
/// the known ones (weights of large sum) or the places do not fix it
/// @source Wendland H. 2005, Scattered Data Approximation, ch. 8 (polyharmonic spline r^3 with a
/// linear polynomial), from memory.
[[nodiscard]] std::vector<double> spline_weights(std::span<const std::vector<double>> places,
                                                 const std::vector<double>& target);

/// Order in which to take places so that each next one is the farthest from all before it; the
/// first is the first given. Later ones then lie between earlier ones.
[[nodiscard]] std::vector<std::size_t> farthest_first(std::span<const std::vector<double>> places);

}  // namespace plenair

#pragma once

#include "cases/study/choose_designs.hpp"

#include <cstdint>
#include <vector>

namespace plenair::study {

/// Places that fill the space evenly: Sobol' points shifted by the seed, for stations a smooth
/// profile (level, slope, bow) with a little of its own at each station.
[[nodiscard]] std::vector<std::vector<double>> even_sample(const ChoosePlan& plan,
                                                           const Designs& designs,
                                                           std::size_t count,
                                                           std::uint64_t seed);

/// Where the search came to, on no step of the shop.
struct Optimum {
    std::vector<double> place;
    double merit = 0;
};

/// Looks from several starts at once; all new designs of a round are solved side by side: where
/// each start's descent on the surface came to, and small moves of each number around the best.
/// @returns the ends of all starts, best first, each at least a few shop steps from the others
[[nodiscard]] std::vector<Optimum> search(Designs& designs, const Goal& goal);

/// The best design on the steps of the shop near a place: neighbours are solved until none of them,
/// one step away in any number, is better.
[[nodiscard]] std::vector<double> settle_on_steps(Designs& designs,
                                                  const Goal& goal,
                                                  const std::vector<double>& place);

/// A place moved by so many shop steps in one number; nothing beyond the bounds.
[[nodiscard]] std::vector<double> moved(const Designs& designs,
                                        std::vector<double> place,
                                        std::size_t k,
                                        int steps);

}  // namespace plenair::study

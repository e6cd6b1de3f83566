#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <vector>

namespace plenair::study {

/// How the variance of a function of independent inputs is divided among groups of them.
struct SensitivityIndices {
    std::vector<double> first;  ///< part that goes when the group alone is known
    std::vector<double> total;  ///< part that is left when all but the group are known
    double mean = 0, variance = 0;
};

/// First and total indices from quasi-random points in the unit cube.
/// @param inputs  how many
/// @param groups  inputs of each group
/// @param samples  base points; the function is called samples x (groups + 2) times
/// @param value  of inputs that are uniform in 0..1
/// @source first order: Saltelli A. et al. 2010, Comput. Phys. Commun. 181, 259-270, table 2 (b);
/// total: Jansen M. J. W. 1999, Comput. Phys. Commun. 117, 35-43; as table 2 (f) there
[[nodiscard]] SensitivityIndices sensitivity_indices(
    std::size_t inputs,
    const std::vector<std::vector<std::size_t>>& groups,
    std::size_t samples,
    std::uint64_t seed,
    const std::function<double(const std::vector<double>&)>& value);

}  // namespace plenair::study

#pragma once

#include <string>
#include <vector>

namespace plenair {

/// What a fit says of one of the model's coefficients (study/entry.hpp).
struct LearnedEntry {
    std::string key;  ///< "runner.entry"
    double value = 0;  ///< factor or shift on top of the case; 1 or 0 where the case holds it
    double deviation = 0;  ///< standard deviation, SI
    std::vector<double> correlation;  ///< with the entries before it, in their order [-]
};

/// Correlations of all, row by row, 1 on the diagonal.
[[nodiscard]] std::vector<std::vector<double>> correlation_matrix(
    const std::vector<LearnedEntry>& learned);

/// Whether some numbers can have these correlations at all: no negative eigenvalue.
[[nodiscard]] bool possible(const std::vector<LearnedEntry>& learned);

}  // namespace plenair

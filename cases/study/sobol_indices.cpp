#include "cases/study/sobol_indices.hpp"

#include "cases/base/sobol_sequence.hpp"

#include <algorithm>

namespace plenair::study {

SensitivityIndices sensitivity_indices(
    std::size_t inputs,
    const std::vector<std::vector<std::size_t>>& groups,
    std::size_t samples,
    std::uint64_t seed,
    const std::function<double(const std::vector<double>&)>& value) {
    SobolSequence sequence(2 * inputs, seed, 1);
    std::vector<double> a(inputs), b(inputs);
    std::vector<double> first(groups.size(), 0), total(groups.size(), 0);
    double sum = 0, squares = 0;
    // About the first value, so that a large mean costs no digits.
    double origin = 0;
    for (std::size_t i = 0; i < samples; ++i) {
        const auto both = sequence.next();
        std::copy(both.begin(), both.begin() + static_cast<std::ptrdiff_t>(inputs), a.begin());
        std::copy(both.begin() + static_cast<std::ptrdiff_t>(inputs), both.end(), b.begin());
        const double at_a = value(a), at_b = value(b);
        origin = i == 0 ? at_a : origin;
        sum += at_a + at_b - 2 * origin;
        squares += (at_a - origin) * (at_a - origin) + (at_b - origin) * (at_b - origin);
        for (std::size_t g = 0; g < groups.size(); ++g) {
            auto mixed = a;  // A with the group's inputs of B
            for (const std::size_t k : groups[g]) {
                mixed[k] = b[k];
            }
            const double at_mixed = value(mixed);
            first[g] += (at_b - origin) * (at_mixed - at_a);
            total[g] += (at_a - at_mixed) * (at_a - at_mixed);
        }
    }
    const auto n = static_cast<double>(samples);
    SensitivityIndices indices;
    const double mean = sum / (2 * n);
    indices.mean = origin + mean;
    indices.variance = squares / (2 * n) - mean * mean;
    for (std::size_t g = 0; g < groups.size(); ++g) {
        const bool varies = indices.variance > 0;
        indices.first.push_back(varies ? first[g] / n / indices.variance : 0);
        indices.total.push_back(varies ? total[g] / (2 * n) / indices.variance : 0);
    }
    return indices;
}

}  // namespace plenair::study

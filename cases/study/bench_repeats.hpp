#pragma once

#include "cases/study/measured.hpp"

#include <cstddef>
#include <string>
#include <vector>

/// Bench readings of one and the same thing.
namespace plenair::study {

/// Readings with the same bank, part, plate angle and depression (within 5 %), as indices in their
/// order; each reading is in one group. What the bench itself is off by, most of its uncertainty
/// (it repeats to 0.5 % and is right to 1 to 2 %, common practice), is the same in all of a group
/// and does not average out: n readings weigh as one.
[[nodiscard]] std::vector<std::vector<std::size_t>> bench_repeats(
    const std::vector<BenchReading>& bench);

/// What is to be said of groups of more than one: that they weigh as one, or that they lie further
/// apart, as effective areas, than the sum of their uncertainties.
[[nodiscard]] std::vector<std::string> bench_repeat_notes(const std::vector<BenchReading>& bench);

}  // namespace plenair::study

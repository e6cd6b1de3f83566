#pragma once

#include "cases/study/case.hpp"
#include "cases/study/entry.hpp"
#include "cases/study/measured.hpp"

#include <vector>

/// The parts as they were gauged.
namespace plenair::study {

/// The case as made: gauged sizes in place of the drawn ones, entries around them.
struct AsMade {
    Case c;
    std::vector<Entry> entries;  ///< bands narrowed by gauges
    std::vector<bool> gauged;  ///< of each entry
};

/// @param drawn  the case as its file says
[[nodiscard]] AsMade as_made(const Case& drawn, const Measured& measured);

}  // namespace plenair::study

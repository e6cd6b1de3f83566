#pragma once

#include "cases/study/assumption.hpp"
#include "geometry/output_units.hpp"

#include <string>
#include <vector>

namespace plenair {

struct Case;

/// One derived number of the check study.
struct DerivedNumber {
    std::string key, text, unit;  ///< "plenum.volume", "volume of the plenum", "m3"
    double value = 0;  ///< SI
};

struct CheckResult {
    std::string title, case_digest;
    std::vector<DerivedNumber> numbers;
    std::vector<std::string> warnings;
    std::vector<std::string> echo;
    std::vector<Assumption> assumed;
    geometry::OutputUnits units;
};

[[nodiscard]] CheckResult check(const Case& c);

}  // namespace plenair

#pragma once

#include "cases/study/assumption.hpp"
#include "geometry/output_units.hpp"
#include "solver/march/result.hpp"

#include <string>
#include <vector>

namespace plenair {

struct Case;

struct BenchStudyResult {
    std::string title, case_digest, case_text;
    std::vector<BenchResult> set_ups;
    std::vector<Assumption> assumed;
    double reference_density = 0;  ///< for CFM; 0: that of each set-up's room air [kg/m3]
    geometry::OutputUnits units;
    [[nodiscard]] bool converged() const;
};

/// All set-ups of the bench, with bands of their shares from the model's coefficients if wanted.
[[nodiscard]] BenchStudyResult bench(const Case& c, bool bands = false);

}  // namespace plenair

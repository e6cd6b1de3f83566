#pragma once

#include "cases/study/case.hpp"
#include "solver/march/response.hpp"
#include "solver/march/transient.hpp"

#include <string>
#include <vector>

namespace plenair {

/// A rig and how it is followed in time.
struct TransientPlan {
    Case base;
    TransientSettings settings;
};

/// A rig and the frequencies at which it is asked.
struct ResponsePlan {
    Case base;
    ResponseSettings settings;
};

/// What every result says of its case.
struct OfCase {
    std::string title, digest, text;
    std::vector<Assumption> assumed;
    geometry::OutputUnits units;
};

struct TransientStudyResult {
    OfCase of;
    TransientResult rig;
};

/// A peak of one series over frequency.
struct ResponsePeak {
    std::size_t series = 0;
    double frequency = 0;  ///< [Hz], of the parabola through the three highest answers
    double per_pascal = 0;  ///< largest answer there
};

struct ResponseStudyResult {
    OfCase of;
    bool in_room = false;
    ResponseResult rig;
    std::vector<ResponsePeak> peaks;  ///< of the pressures, in the order of the series
};

/// Where it is stopped the result holds what was reached.
[[nodiscard]] TransientStudyResult transient(const TransientPlan& plan,
                                             const Watcher& watcher = {});
/// Likewise; an answer that is not finished has no numbers.
[[nodiscard]] ResponseStudyResult response(const ResponsePlan& plan, const Watcher& watcher = {});

}  // namespace plenair

#pragma once

#include "solver/march/result.hpp"

#include <string>
#include <vector>

namespace plenair {

/// The pressure of a chamber against crank angle, and where in it that is.
struct ChamberTrace {
    const Trace* trace = nullptr;
    std::string chamber;  ///< "plenum", "left plenum"
    std::string place;  ///< "start", "quarter", ... as TracePlace names them
};

/// The traced pressures of all plenums of a point, bank by bank, of each from x = 0 on.
[[nodiscard]] std::vector<ChamberTrace> plenum_traces(const PointResult& point);

/// A trace by its name and cylinder (0: none); nullptr where the point has no such.
[[nodiscard]] const Trace* trace_of(const PointResult& point,
                                    const std::string& quantity,
                                    int cylinder);

}  // namespace plenair

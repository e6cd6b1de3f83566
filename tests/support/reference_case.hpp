#pragma once

#include "cases/study/case.hpp"
#include "tests/reference/engine_flow.hpp"

#include <string>

namespace plenair::test {

/// Engine, intake and point of a case as the second solver takes them: one bank, a slot of one
/// piece with a stated cd, no jet, no wall heat, an imposed friction factor or none.
/// @throws std::invalid_argument  where the case holds what the second solver does not have
[[nodiscard]] reference::EngineSpec reference_spec(const Case& c, const OperatingPoint& point);

/// Invented engines for comparing two solvers, one point each, to be moved with sets: "one" (log
/// plenum, throttle in line), "four" (two chambers, throttle in line, narrowing runners), "five"
/// (two chambers, throttle in the side, inches).
[[nodiscard]] std::string reference_engine_text(const std::string& which);

}  // namespace plenair::test

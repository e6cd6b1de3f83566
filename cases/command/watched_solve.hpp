#pragma once

#include "cases/command/request.hpp"
#include "cases/study/case.hpp"
#include "cases/study/solve.hpp"

namespace plenair::command {

/// Solves a case and says on standard error how long it will take and how far it is, unless the
/// request is quiet. Threads are those of the request.
[[nodiscard]] SolveResult solve_watched(const Case& c,
                                        const Request& request,
                                        SolveOptions options);

}  // namespace plenair::command

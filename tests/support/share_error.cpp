#include "tests/support/share_error.hpp"

#include "cases/file/read.hpp"
#include "solver/march/cycle.hpp"

#include <algorithm>
#include <cmath>
#include <string>

namespace plenair::test {

namespace {

/// Another scheme, which a start near the answer may not need.
bool on_first_order_faces(const PointResult& result) {
    return std::any_of(result.notes.begin(), result.notes.end(), [](const std::string& note) {
        return note.rfind("usual faces left physical states", 0) == 0;
    });
}

}  // namespace

std::optional<ShareErrors> share_error_of(EngineRange range, std::uint64_t seed) {
    Case c = parse_case(random_engine(range, seed).text, "random.toml", {});
    Start end;
    CycleOptions usual;
    usual.end = &end;
    const PointResult stopped = solve_point(c.intake, c.engine, c.points.front(), c.model, usual);
    if (!stopped.converged) {
        return std::nullopt;
    }
    // On the same steps: they are another error.
    c.model.tolerance = 1e-9;
    c.model.max_cycles = 600;
    CycleOptions on;
    on.from = &end;
    on.plans = {end.plan};
    const PointResult settled = solve_point(c.intake, c.engine, c.points.front(), c.model, on);
    if (!settled.converged || on_first_order_faces(settled) != on_first_order_faces(stopped)) {
        return std::nullopt;
    }
    ShareErrors errors{stopped.share_error, 0.0};
    const bool single = stopped.cylinders.size() == 1;
    for (std::size_t i = 0; i < stopped.cylinders.size(); ++i) {
        const CylinderResult& a = stopped.cylinders[i];
        const CylinderResult& b = settled.cylinders[i];
        errors.found = std::max(
            errors.found, std::abs(single ? a.air_trapped / b.air_trapped - 1.0 : a.bias - b.bias));
    }
    return errors;
}

}  // namespace plenair::test

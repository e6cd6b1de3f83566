#include "cases/study/traces.hpp"

#include "geometry/places.hpp"
#include "solver/march/trace_places.hpp"

#include <algorithm>

namespace plenair {

const Trace* trace_of(const PointResult& point, const std::string& quantity, int cylinder) {
    const auto found =
        std::find_if(point.traces.begin(), point.traces.end(), [&](const Trace& trace) {
            return trace.quantity == quantity && trace.cylinder == cylinder;
        });
    return found == point.traces.end() ? nullptr : &*found;
}

std::vector<ChamberTrace> plenum_traces(const PointResult& point) {
    std::vector<ChamberTrace> traces;
    for (const auto& profile : point.pressures) {
        if (!geometry::is_plenum(profile.part)) {
            continue;
        }
        for (const auto& place : trace_places) {
            if (const Trace* trace = trace_of(point, pressure_trace(profile.part, place), 0)) {
                traces.push_back({trace, profile.part, place.name});
            }
        }
    }
    return traces;
}

}  // namespace plenair

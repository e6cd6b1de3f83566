#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <string>

namespace plenair {

/// Where pressures along a chamber are traced: of its cells from x = 0 on, this one.
struct TracePlace {
    const char* name;  ///< as the trace ends: "plenum_pressure_middle"
    double along;  ///< of the chain of cells [-]

    [[nodiscard]] constexpr std::size_t cell(std::size_t count) const {
        const auto at = static_cast<std::size_t>(along * static_cast<double>(count));
        return at < count ? at : count - 1;
    }
};

inline constexpr std::array<TracePlace, 5> trace_places{
    {{"start", 0.0}, {"quarter", 0.25}, {"middle", 0.5}, {"three_quarters", 0.75}, {"end", 1.0}}};

/// Name of the trace of a chamber's pressure: "left_plenum_pressure_middle" of "left plenum".
[[nodiscard]] inline std::string pressure_trace(std::string chamber, const TracePlace& place) {
    for (const char sign : {' ', '-'}) {
        std::replace(chamber.begin(), chamber.end(), sign, '_');
    }
    return chamber + "_pressure_" + place.name;
}

}  // namespace plenair

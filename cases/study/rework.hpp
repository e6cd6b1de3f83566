#pragma once

#include "cases/study/gauge_items.hpp"
#include "cases/study/measured.hpp"
#include "cases/study/tolerance.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

/// What opening a slot that was made too narrow does for a part.
namespace plenair::study {

/// Moves the width at one station of a gauge by so much [m], the widths between it and its
/// neighbours with it, in the banks that the gauge is of.
/// @pre as_made() has put the gauged widths into the case
void move_station(Case& c, const GaugeReading& gauge, std::size_t station, double d);

/// Stations that are opened to the drawn width, as indices of gauged widths.
struct Rework {
    std::vector<std::size_t> opened;
    double spread = 0;  ///< then, the worst of the points [-]
};

/// The fewest stations whose opening brings the worst spread to `most`: all that are narrower than
/// their limit, and of the others that are narrow a run of neighbours. Metal cannot be put back,
/// and what is wide enough is left alone.
/// @param widths  gauged widths by station
/// @param found  the plan of the part as it was found
[[nodiscard]] std::optional<Rework> find_rework(const std::vector<GaugeItem>& widths,
                                                const TolerancePlan& found,
                                                const Measured& measured,
                                                double most,
                                                const ToleranceOptions& options);

/// "stations 5 to 9", "station 2, stations 5 to 9 of the left bank"
[[nodiscard]] std::string stations_in_words(const std::vector<GaugeItem>& widths,
                                            const std::vector<std::size_t>& opened,
                                            const Measured& measured,
                                            const Case& c);

}  // namespace plenair::study

#pragma once

#include "geometry/clearance.hpp"
#include "geometry/intake.hpp"

#include <array>
#include <optional>
#include <string>
#include <vector>

/// What a cam card says: events at a lift, and whether they make sense.
namespace plenair::geometry {

/// Lifts at which the trade states events: near the seat, 1 mm, and 0.050 in [m].
inline constexpr std::array<double, 3> card_lifts = {1e-4, 1e-3, 1.27e-3};

/// Where the lift passes a stated one, crank angle after firing TDC [rad].
struct LiftEvents {
    double opens = 0, closes = 0;
    [[nodiscard]] double duration() const { return closes - opens; }
    [[nodiscard]] double middle() const { return 0.5 * (opens + closes); }
};

/// First rise and last fall through `lift` [m]; none where the valve does not lift so far.
[[nodiscard]] std::optional<LiftEvents> events_at(const Valve& valve, double lift);

/// Integral of the effective area of all valves of one kind over a cycle [m2 rad].
[[nodiscard]] double angle_area(const Valve& valve);

/// Events that no engine has are errors, unusual ones warnings: duration, order of the events,
/// overlap, place of the lobe, lift against head and against duration. The bounds are common
/// practice (from memory): durations 150 to 360 deg, lobes 75 to 150 deg from TDC of gas exchange,
/// overlap up to 130 deg, lift up to half a head diameter.
void check_cams(const Engine& engine, const OutputUnits& units, std::vector<Finding>& findings);

}  // namespace plenair::geometry

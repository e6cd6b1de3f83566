#pragma once

#include <optional>
#include <string>

namespace plenair {

struct Case;

/// Force of the air on the flat side of a plenum.
struct LidForce {
    std::string bank;  ///< name, empty where the case has one bank
    double length = 0, width = 0;  ///< of the side [m]
    bool width_stated = false;  ///< from plenum.height; else that of a round section of equal area
    double gauge_pressure = 0;  ///< highest pressure before the throttle, above the barometer [Pa]
    double force = 0;  ///< length x width x gauge pressure [N]
};

/// The largest lid force over the banks of a case: statics, not a strength calculation. Nothing
/// where no point stands above the barometer or no bank has a plenum.
[[nodiscard]] std::optional<LidForce> lid_force(const Case& c);

}  // namespace plenair

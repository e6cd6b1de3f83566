#pragma once

#include "cases/study/fuel.hpp"

#include <optional>
#include <string>
#include <vector>

namespace plenair {

/// One stage of injectors: one injector a cylinder, as its maker rates it.
struct InjectorStage {
    double rated_flow = 0;  ///< of one injector, held open, on the rating's fluid [m3/s]
    double rated_pressure = 0;  ///< pressure difference of the rating [Pa]
    double rated_density = 684;  ///< of the rating's fluid [kg/m3]
    double dead_time = 0;  ///< opening minus closing delay at running voltage [s]
    double duty_limit = 0.85;  ///< largest commanded duty, dead time included [-]
};

/// The injectors of a cylinder: one stage, or two with a rule for the second.
struct Injection {
    double pressure = 0;  ///< difference that the regulator holds between rail and plenum [Pa]
    InjectorStage primary;
    std::optional<InjectorStage> secondary;
    double staging_pressure = 0;  ///< plenum pressure from which the second stage adds [Pa]
    double staging_speed = 0;  ///< crank speed from which it adds [rad/s]
    double equal_pressure = 0;  ///< plenum pressure from which both have the same pulse [Pa]
};

/// What one stage is asked for at one point and cylinder. Nothing is cut off at 100 %.
struct StageDuty {
    double flow = 0;  ///< share of the cycle in which fuel flows [-]
    double commanded = 0;  ///< with dead time; 0 while the stage rests [-]
    bool over = false;  ///< commanded above the stage's limit
};

/// Duty of both stages.
/// theory T53
struct Duty {
    StageDuty primary;
    StageDuty secondary;
};

/// Flow of one injector, held open, on the fuel at the pressure held [m3/s]: rated flow times the
/// square roots of pressure over rated pressure and of rated density over fuel density (Bernoulli,
/// the same discharge coefficient on both fluids).
/// theory T52
[[nodiscard]] double effective_flow(const InjectorStage& stage,
                                    double pressure,
                                    double fuel_density);

/// Effective pulse of the second stage over that of the first: 0 below the staging pressure or
/// speed, 1 at and above the equal pressure, straight between. 0 without a second stage.
[[nodiscard]] double staging_ratio(const Injection& injection,
                                   double plenum_pressure,
                                   double speed);

/// Duty that delivers a fuel flow into one cylinder, injecting once a cycle of two turns.
/// @param fuel_flow  [kg/s], cycle mean
/// @param ratio  from staging_ratio
/// @param speed  crank [rad/s]
[[nodiscard]] Duty duty_of(
    const Injection& injection, double fuel_density, double fuel_flow, double ratio, double speed);

}  // namespace plenair

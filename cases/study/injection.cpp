#include "cases/study/injection.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace plenair {

namespace {

constexpr double two_turns = 4.0 * std::numbers::pi;  // [rad], one cycle

StageDuty stage_duty(const InjectorStage& stage, double flow_duty, double period) {
    // A pulse that fills the limit to the last bit is not over it.
    constexpr double slack = 1e-9;
    StageDuty duty;
    duty.flow = flow_duty;
    duty.commanded = flow_duty + stage.dead_time / period;
    duty.over = duty.commanded > stage.duty_limit + slack;
    return duty;
}

}  // namespace

double effective_flow(const InjectorStage& stage, double pressure, double fuel_density) {
    return stage.rated_flow * std::sqrt(pressure / stage.rated_pressure) *
           std::sqrt(stage.rated_density / fuel_density);
}

double staging_ratio(const Injection& injection, double plenum_pressure, double speed) {
    // An entry converted from another unit may miss its own value in the last bits.
    constexpr double slack = 1e-9;
    const double start = injection.staging_pressure * (1.0 - slack);
    if (!injection.secondary || plenum_pressure < start ||
        speed < injection.staging_speed * (1.0 - slack)) {
        return 0.0;
    }
    if (injection.equal_pressure <= injection.staging_pressure) {
        return 1.0;
    }
    return std::clamp((plenum_pressure - injection.staging_pressure) /
                          (injection.equal_pressure - injection.staging_pressure),
                      0.0,
                      1.0);
}

Duty duty_of(
    const Injection& injection, double fuel_density, double fuel_flow, double ratio, double speed) {
    const double period = two_turns / speed;
    const double first = effective_flow(injection.primary, injection.pressure, fuel_density);
    const double second =
        injection.secondary ? effective_flow(*injection.secondary, injection.pressure, fuel_density)
                            : 0.0;
    // Both stages together deliver the volume of a cycle: pulse x (first + ratio x second).
    const double flow_duty = fuel_flow / fuel_density / (first + ratio * second);
    Duty duty;
    duty.primary = stage_duty(injection.primary, flow_duty, period);
    if (injection.secondary && ratio > 0.0) {
        duty.secondary = stage_duty(*injection.secondary, ratio * flow_duty, period);
    }
    return duty;
}

}  // namespace plenair

#include "cases/study/curve.hpp"

#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <cmath>

namespace plenair {

namespace {

void take(double& value, const geometry::Profile& over_speed, double speed) {
    if (!over_speed.empty()) {
        value = over_speed.at(speed);
    }
}

}  // namespace

std::string curve_point_name(const std::string& curve, double speed) {
    const double rpm = std::round(geometry::to_unit(speed, "rpm") * 10) / 10;
    return fmt::format("{}@{}", curve, geometry::format_number(rpm, 6));
}

OperatingPoint SpeedCurve::at(double speed) const {
    OperatingPoint point = base;
    point.name = curve_point_name(name, speed);
    point.speed = speed;
    take(point.pressure, pressure, speed);
    take(point.temperature, temperature, speed);
    take(point.exhaust_pressure, exhaust_pressure, speed);
    take(point.exhaust_temperature, exhaust_temperature, speed);
    take(point.combustion.lambda, lambda, speed);
    if (!throttle_angle.empty()) {
        point.throttle_angle = throttle_angle.at(speed);
    }
    return point;
}

}  // namespace plenair

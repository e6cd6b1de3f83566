#include "geometry/contract.hpp"
#include "geometry/elementary.hpp"
#include "geometry/intake.hpp"
#include "geometry/table.hpp"
#include "geometry/valve_area.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>

namespace plenair::geometry {

namespace {

constexpr double cycle = 4 * std::numbers::pi;
constexpr double ramp = closing_ramp;

/// 4-5-6-7 polynomial, 0..1 with zero slope, curvature and third derivative at both ends (Norton,
/// Cam Design, 2002).
double rise_4567(double z) {
    const double z4 = z * z * z * z;
    return std::min(z4 * (35 + z * (-84 + z * (70 - 20 * z))), 1.0);  // not above by rounding
}

/// 3-4-5 polynomial, 0..1 with zero slope and curvature at both ends (Norton 2002).
double rise_345(double z) {
    return z * z * z * (10 + z * (-15 + 6 * z));
}

double measured_lift(const std::vector<double>& angle, const std::vector<double>& lift, double at) {
    const auto upper = std::upper_bound(angle.begin(), angle.end(), at);
    if (upper == angle.begin()) {
        return lift.front();
    }
    if (upper == angle.end()) {
        return lift.back();
    }
    const auto i = static_cast<std::size_t>(upper - angle.begin());
    return lift[i - 1] + (at - angle[i - 1]) / (angle[i] - angle[i - 1]) * (lift[i] - lift[i - 1]);
}

}  // namespace

// Between the events: a measured curve, or the checking lift plus two 4-5-6-7 half-lifts. Outside
// them, the ramp takes the lift at the event to zero, so that the area has no jump. Slope and
// curvature join at zero (from memory; a cam has a small constant ramp velocity there, worth less
// than 0.1 mm of lift).
// theory T28
double Valve::lift_at(double angle) const {
    const bool measured = !lift_angle.empty();
    PLENAIR_EXPECT(measured ? lift_angle.size() == lift_value.size() &&
                                  lift_angle.back() > lift_angle.front()
                            : closes > opens);
    const double first = measured ? lift_angle.front() : 0.0;
    const double last = measured ? lift_angle.back() : closes - opens;
    double after = std::fmod(angle - opens - first + ramp, cycle);
    after = (after < 0 ? after + cycle : after) -
            ramp;  // from the first event, in [-ramp, cycle - ramp)
    const double duration = last - first;
    if (after < 0 || after > duration) {
        const double outside = after < 0 ? -after : after - duration;
        const double edge =
            measured ? (after < 0 ? lift_value.front() : lift_value.back()) : checking_lift;
        return outside >= ramp ? 0.0 : edge * rise_345(1 - outside / ramp);
    }
    if (measured) {
        return measured_lift(lift_angle, lift_value, after + first);
    }
    const double half = 0.5 * duration;
    const double phase = 1 - std::abs(after - half) / half;
    return checking_lift + (lift - checking_lift) * rise_4567(phase);
}

// Heywood 1988, eq. 6.7 to 6.12 (from memory; the three pieces join without a step).
// theory T27
double Valve::geometric_area(double at_lift) const {
    if (at_lift <= 0) {
        return 0;
    }
    constexpr double pi = std::numbers::pi;
    const double port = 0.25 * pi * (throat * throat - stem * stem);
    const double sine = arithmetic::sin(seat_angle);
    const double cosine = arithmetic::cos(seat_angle);
    if (at_lift * sine * cosine <= seat_width) {
        const double cone =
            at_lift * cosine *
            (head - 2 * seat_width + 0.5 * at_lift * arithmetic::sin(2 * seat_angle));
        return std::min(pi * cone, port);
    }
    const double mean = head - seat_width;
    const double rise = at_lift - seat_width * arithmetic::tan(seat_angle);
    return std::min(pi * mean * std::sqrt(rise * rise + seat_width * seat_width), port);
}

double Valve::effective_area(double angle) const {
    return plenair::geometry::effective_area(*this, lift_at(angle));
}

double effective_area(const Valve& valve, double lift) {
    PLENAIR_EXPECT(valve.head > 0);
    const double curtain = std::numbers::pi * valve.head * lift;
    return valve.count *
           std::min(interpolate(valve.cd, lift / valve.head) * curtain, valve.geometric_area(lift));
}

}  // namespace plenair::geometry

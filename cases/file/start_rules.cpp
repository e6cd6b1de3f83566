#include "cases/file/start_rules.hpp"

#include "solver/gas/air.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace plenair::file::rules {

using std::numbers::pi;

double Frame::piston_speed() const {
    return stroke * top_speed / pi;
}

double Frame::swept_volume() const {
    return pi / 4 * bore * bore * stroke;
}

double Frame::volume_flow() const {
    return per_bank * swept_volume() * top_speed / (4 * pi);
}

double Frame::density() const {
    return pressure / (gas::air_gas_constant * temperature);
}

std::vector<int> firing_order(int cylinders, int banks, bool& usual) {
    using Orders = std::vector<std::vector<int>>;
    // Common practice. Two banks: the first bank has the numbers from 1 to half.
    static const Orders inline_orders = {{1},
                                         {1, 2},
                                         {1, 2, 3},
                                         {1, 3, 4, 2},
                                         {1, 2, 4, 5, 3},
                                         {1, 5, 3, 6, 2, 4},
                                         {},
                                         {1, 6, 2, 5, 8, 3, 7, 4}};
    static const Orders bank_orders = {{},
                                       {1, 2},
                                       {},
                                       {1, 3, 2, 4},
                                       {},
                                       {1, 4, 2, 5, 3, 6},
                                       {},
                                       {1, 5, 4, 8, 6, 3, 7, 2},
                                       {},
                                       {1, 6, 5, 10, 2, 7, 3, 8, 4, 9},
                                       {},
                                       {1, 7, 5, 11, 3, 9, 6, 12, 2, 8, 4, 10}};
    const Orders& known = banks == 2 ? bank_orders : inline_orders;
    const auto at = static_cast<std::size_t>(cylinders - 1);
    if (at < known.size() && !known[at].empty()) {
        usual = true;
        return known[at];
    }
    // From the ends to the middle, bank by bank: every cylinder once, neighbours apart.
    usual = false;
    std::vector<int> order;
    const int half = banks == 2 ? cylinders / 2 : cylinders;
    for (int low = 1, high = half; low <= high; ++low, --high) {
        for (const int cylinder : {low, high}) {
            const bool twice = low == high && !order.empty() && cylinder == high &&
                               std::find(order.begin(), order.end(), cylinder) != order.end();
            if (!twice) {
                order.push_back(cylinder);
                if (banks == 2) {
                    order.push_back(cylinder + half);
                }
            }
        }
    }
    return order;
}

double top_speed(double stroke) {
    constexpr double piston_speed = 20;  // four-valve engines at most power: Heywood (1988), table
                                         // of valve sizes, from memory [m/s]
    const double step = geometry::from_unit(100, "rpm");
    const double speed = pi * piston_speed / stroke;
    return std::clamp(std::round(speed / step) * step,
                      geometry::from_unit(500, "rpm"),
                      geometry::from_unit(20000, "rpm"));
}

int event_degrees(const Frame& frame, double mild, double racing) {
    const double part = std::clamp((frame.piston_speed() - 12) / (24 - 12), 0.0, 1.0);
    return static_cast<int>(std::lround(mild + part * (racing - mild)));
}

namespace {
constexpr double steady_velocity = 45;  // common practice [m/s]
}

double throttle_velocity(int cylinders) {
    return cylinders <= 2 ? 20 : cylinders == 3 ? 34 : steady_velocity;
}

double air_column(const Frame& frame) {
    const double sound = std::sqrt(gas::air_gamma * gas::air_gas_constant * frame.temperature);
    const double speed = geometry::to_unit(frame.top_speed, "rpm");
    constexpr double oscillation = 4;
    return std::clamp(30 * sound / (speed * oscillation), 0.12, 0.7);
}

double slot_width(const Frame& frame, double length, double part, double cd) {
    const double velocity = std::sqrt(2 * part * frame.pressure / frame.density());
    // Few cylinders draw in pulses, whose loss goes with the square of the flow.
    const double pulses = steady_velocity / throttle_velocity(frame.per_bank);
    return pulses * frame.volume_flow() / (cd * velocity * length);
}

}  // namespace plenair::file::rules

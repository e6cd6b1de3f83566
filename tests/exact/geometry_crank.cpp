#include <doctest/doctest.h>

#include "geometry/intake.hpp"
#include "geometry/quantity.hpp"
#include "tests/support/near.hpp"

#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>

using namespace plenair::geometry;

namespace {

/// Bore 86, stroke 86, rod 143.5 mm, compression ratio 10.
Engine square_engine() {
    Engine engine;
    engine.firing_order = {1, 3, 4, 2};
    engine.firing_angles = {0, std::numbers::pi, 2 * std::numbers::pi, 3 * std::numbers::pi};
    engine.bore = 0.086;
    engine.stroke = 0.086;
    engine.rod = 0.1435;
    engine.compression_ratio = 10;
    return engine;
}

double deg(double value) {
    return from_unit(value, "deg");
}

}  // namespace

TEST_CASE("crank: cylinder volume equals the slider-crank closed form") {
    // Heywood 1988, eq. 2.6; ratios to the clearance volume by an independent program, five
    // decimals printed.
    const std::array<std::array<double, 2>, 7> table{{{30, 1.77240},
                                                      {60, 3.76447},
                                                      {90, 6.19007},
                                                      {120, 8.26447},
                                                      {150, 9.56663},
                                                      {180, 10},
                                                      {220, 9.22840}}};
    const auto engine = square_engine();
    CHECK(engine.swept_volume() == near(from_unit(499.557, "cc"), 1e-6));
    CHECK(engine.clearance_volume() == near(from_unit(55.506, "cc"), 1e-5));
    for (const auto& [angle, ratio] : table) {
        const auto captured_angle = angle;
        CAPTURE(captured_angle);
        CHECK(engine.volume(deg(angle)) / engine.clearance_volume() == near(ratio, 1e-6, 5e-6));
    }
    CHECK(engine.volume(0) == near(engine.clearance_volume(), 1e-14));
}

TEST_CASE("crank: volume rate is the derivative of the volume") {
    const auto engine = square_engine();
    const double h = 1e-4;
    for (double angle = -3; angle < 12; angle += 0.37) {
        const double slope = (engine.volume(angle + h) - engine.volume(angle - h)) / (2 * h);
        CHECK(engine.volume_rate(angle) == near(slope, 1e-7, 1e-12));
    }
    CHECK(engine.volume_rate(0) == 0.0);
}

TEST_CASE("crank: the piston is fastest at 74.54 deg, 1.64027 times its mean speed") {
    const auto engine = square_engine();
    // Mean volume rate over a stroke is swept volume over pi.
    const double mean = engine.swept_volume() / std::numbers::pi;
    CHECK(engine.volume_rate(deg(74.54)) / mean == near(1.64027, 4e-6));
    CHECK(engine.volume_rate(deg(74.54)) > engine.volume_rate(deg(74.3)));
    CHECK(engine.volume_rate(deg(74.54)) > engine.volume_rate(deg(74.8)));
}

TEST_CASE("crank: firing angle and place belong to the cylinder's number") {
    const auto engine = square_engine();
    CHECK(engine.firing_position(4) == 3);
    CHECK(engine.firing_angle(2) == near(3 * std::numbers::pi, 1e-15));
    CHECK_THROWS_AS(engine.firing_angle(5), std::invalid_argument);
}

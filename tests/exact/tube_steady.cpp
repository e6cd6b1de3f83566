#include <doctest/doctest.h>

#include "solver/march/steady.hpp"
#include "tests/reference/fanno.hpp"
#include "tests/reference/isentropic.hpp"
#include "tests/support/near.hpp"
#include "tests/support/tube.hpp"

#include <cmath>
#include <numbers>

// Steady flow through one pipe from still air to a stated pressure at its end, found with the
// product's own search for steady states.
using namespace plenair;
using test::Pipe;
using test::Tube;

namespace {

constexpr double gas_constant = 287.0;

/// Gas in steady adiabatic flow of `mass` per time through `area` at a static pressure.
struct Flow {
    double mach, total_pressure;
};

Flow flow_at(double mass, double area, double pressure, double total_temperature, double gamma) {
    // m = p A M sqrt(gamma/(R T0)) sqrt(1 + (gamma - 1)/2 M^2), a square in M^2.
    const double g = mass / (pressure * area) * std::sqrt(gas_constant * total_temperature / gamma);
    const double k = gamma - 1.0;
    const double mach = std::sqrt((std::sqrt(1.0 + 2.0 * k * g * g) - 1.0) / k);
    return {mach, pressure / reference::pressure_ratio(mach, gamma)};
}

struct Bench {
    double gamma, total_pressure, total_temperature;
};

/// The pipe between still gas and `back` [Pa] at its end face.
Tube steady(const Bench& bench, Pipe pipe, double back, double viscosity = 1.8e-5) {
    Tube tube(bench.gamma, gas_constant, bench.total_pressure, bench.total_temperature);
    tube.network.gas.viscosity = viscosity;
    pipe.start = EndKind::open;
    pipe.end = EndKind::exit;
    tube.add(pipe);
    tube.finish();
    tube.network.room.pressure = back;
    const SteadyOutcome outcome = find_steady_state(tube.network, tube.state);
    REQUIRE_MESSAGE(outcome.converged, outcome.failure);
    return tube;
}

/// Mass flow, the mean over a pipe: in steady flow the same in every cell.
double mass_flow(const Tube& tube) {
    const Chain& chain = tube.network.chains.front();
    double sum = 0.0;
    for (int i = 0; i < chain.count; ++i) {
        sum += tube.density(0, i) * tube.velocity(0, i) * tube.network.area[tube.index(0, 0, i)];
    }
    return sum / chain.count;
}

}  // namespace

// Adiabatic flow with constant friction factor (Shapiro 1953, ch. 6): f L*/D 66.9216, 14.5333,
// 5.29925, 1.06906, 0.20814 at Mach 0.1, 0.2, 0.3, 0.5, 0.7.
TEST_CASE("pipe with friction: Mach numbers and loss of total pressure are Fanno's") {
    struct Row {
        double in, in_length, out, out_length, total_ratio;
    };
    for (const Row& row : {Row{0.1, 66.9216, 0.5, 1.06906, 1.3398 / 5.8218},
                           {0.2, 14.5333, 0.5, 1.06906, 1.3398 / 2.9635},
                           {0.3, 5.29925, 0.7, 0.20814, 1.0944 / 2.0351}}) {
        CAPTURE(row.in);
        const Bench bench{1.4, 4e5, 300.0};
        const double area = std::numbers::pi / 4.0 * 0.03 * 0.03;
        Pipe pipe{1.0, 200, [=](double) { return area; }};
        pipe.darcy = (row.in_length - row.out_length) * 0.03 / pipe.length;
        const double back = bench.total_pressure * row.total_ratio *
                            reference::pressure_ratio(row.out, bench.gamma);
        const Tube tube = steady(bench, pipe, back);
        const double mass = mass_flow(tube);
        const double in = row.in * bench.total_pressure *
                          reference::pressure_ratio(row.in, bench.gamma) * area *
                          std::sqrt(bench.gamma / (gas_constant * bench.total_temperature) /
                                    reference::temperature_ratio(row.in, bench.gamma));
        CHECK(mass == near(in, 0.002));
        const Flow out = flow_at(mass, area, back, bench.total_temperature, bench.gamma);
        CHECK(out.mach == near(row.out, 0.002));
        CHECK(out.total_pressure / bench.total_pressure == near(row.total_ratio, 0.002));
        // Along the pipe.
        for (const int i : {20, 100, 180}) {
            const double left = row.in_length - pipe.darcy * tube.centre(0, i) / 0.03;
            const double mach = reference::fanno_mach(left, bench.gamma);
            const double p = back * reference::fanno_pressure(mach, bench.gamma) /
                             reference::fanno_pressure(row.out, bench.gamma);
            CHECK(tube.pressure(0, i) == near(p, 0.002));
        }
    }
}

// Nine smooth pipes in series, 30 mm bore, 55.55 mm each, total pressure 4.70 to 4.50 bar, total
// temperature 550 K: 0.444877 kg/s and the total pressures between, printed in
// the published tests of a general-purpose finite-element program (Dhondt 2004). Its gas has other
// properties by a few tenths of a per cent: 0.5 %.
TEST_CASE("pipe with friction: nine smooth pipes at Mach 0.55 pass the published flow") {
    const Bench bench{1.3855, 4.70e5, 550.0};
    const double area = std::numbers::pi / 4.0 * 0.03 * 0.03;
    Pipe pipe{9 * 0.05555, 90, [=](double) { return area; }};
    pipe.smooth = true;
    const auto outlet = [&](double back) {
        const Tube tube = steady(bench, pipe, back, 2.72e-5);
        return std::pair{
            tube, flow_at(mass_flow(tube), area, back, bench.total_temperature, bench.gamma)};
    };
    // The end is held at a static pressure; by false position to the stated total pressure.
    double low = 3.5e5;
    double high = 3.9e5;
    double low_error = outlet(low).second.total_pressure - 4.5e5;
    double high_error = outlet(high).second.total_pressure - 4.5e5;
    for (int pass = 0; pass < 3; ++pass) {
        const double next = high - high_error * (high - low) / (high_error - low_error);
        low = high;
        low_error = high_error;
        high = next;
        high_error = outlet(high).second.total_pressure - 4.5e5;
    }
    const auto [tube, out] = outlet(high);
    CHECK(out.total_pressure == near(4.5e5, 1e-5));
    CHECK(mass_flow(tube) == near(0.444877, 0.005));
    const double between[] = {
        4.6786e5, 4.6570e5, 4.6352e5, 4.6133e5, 4.5911e5, 4.5687e5, 4.5460e5, 4.5231e5};
    for (int joint = 1; joint <= 8; ++joint) {
        const double p = 0.5 * (tube.pressure(0, 10 * joint - 1) + tube.pressure(0, 10 * joint));
        const Flow at = flow_at(mass_flow(tube), area, p, bench.total_temperature, bench.gamma);
        // Against the loss so far, not against the whole pressure.
        CHECK(4.70e5 - at.total_pressure == near(4.70e5 - between[joint - 1], 0.01, 10.0));
    }
}

namespace {

/// Smooth throat of half the section in the middle of a pipe of 1 m.
double throat(double x) {
    const double c = std::cos(2.0 * std::numbers::pi * x);
    return 1e-3 * (0.75 + 0.25 * c * (1.0 + 0.2 * std::sin(2.0 * std::numbers::pi * x)));
}

/// Root mean square of the error of the pressure over the total pressure; mass flow too.
double nozzle_error(int cells, double& mass) {
    const Bench bench{1.4, 1e5, 300.0};
    const double out = 0.25;  // Mach number at the end
    const double end_ratio = reference::area_ratio(out, bench.gamma) / throat(1.0);
    const double back = bench.total_pressure * reference::pressure_ratio(out, bench.gamma);
    const Tube tube = steady(bench, Pipe{1.0, cells, throat}, back);
    mass = mass_flow(tube);
    double sum = 0.0;
    for (int i = 0; i < cells; ++i) {
        // Subsonic Mach number of the section, by halving; pressure as the cell keeps it, a mean of
        // the section's area: Simpson's rule over the cell.
        const auto exact = [&](double x) {
            double low = 1e-3;
            double high = 1.0;
            for (int k = 0; k < 60; ++k) {
                const double m = 0.5 * (low + high);
                (reference::area_ratio(m, bench.gamma) > end_ratio * throat(x) ? low : high) = m;
            }
            return bench.total_pressure * reference::pressure_ratio(low, bench.gamma);
        };
        const double x = tube.centre(0, i);
        const double h = 0.5 / cells;
        const double a[] = {throat(x - h), throat(x), throat(x + h)};
        const double p = (a[0] * exact(x - h) + 4 * a[1] * exact(x) + a[2] * exact(x + h)) /
                         (a[0] + 4 * a[1] + a[2]);
        const double error = (tube.pressure(0, i) - p) / bench.total_pressure;
        sum += error * error;
    }
    return std::sqrt(sum / cells);
}

}  // namespace

// Isentropic flow through a changing section (NACA Report 1135, 1953): the force of the walls, p
// dA/dx, is what keeps the total pressure. Cell means are taken for values at the centre there, so
// the design order is two.
TEST_CASE("nozzle: pressures along a smooth throat converge to isentropic flow with order two") {
    double last = 0.0;
    for (const int cells : {40, 80, 160}) {
        double mass = 0.0;
        const double error = nozzle_error(cells, mass);
        CAPTURE(cells);
        CAPTURE(error);
        if (last > 0.0) {
            CHECK(std::log2(last / error) > 1.9);
        }
        last = error;
        const double exact =
            0.25 * 1e5 * reference::pressure_ratio(0.25, 1.4) * throat(1.0) *
            std::sqrt(1.4 / (gas_constant * 300.0) / reference::temperature_ratio(0.25, 1.4));
        CHECK(mass == near(exact, cells > 100 ? 1e-4 : 1e-2));
    }
    CHECK(last < 1e-4);
}

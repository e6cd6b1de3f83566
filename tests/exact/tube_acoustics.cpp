#include <doctest/doctest.h>

#include "solver/laws/orifice.hpp"
#include "tests/support/near.hpp"
#include "tests/support/tube.hpp"

#include <cmath>
#include <numbers>

// Small waves in pipes and vessels, marched with the product's elements: a = 347.22 m/s, air at
// 300 K. Closed forms of linear acoustics (Kinsler, Frey, Coppens and Sanders 2000, ch. 9 and 10).
// Each resonance starts as its own mode at rest, so its zero crossings give its frequency.
using namespace plenair;
using test::Crossings;
using test::Gas;
using test::Pipe;
using test::Tube;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double gamma_air = 1.4;
constexpr double pressure = 1e5;  // [Pa]
constexpr double amplitude = 10.0;  // [Pa]
constexpr double sound = 347.22;  // [m/s]

double circle(double diameter) {
    return pi / 4.0 * diameter * diameter;
}

std::function<double(double)> constant(double area) {
    return [area](double) { return area; };
}

/// Air whose speed of sound is `a`.
Tube air(double a = sound) {
    return Tube(gamma_air, a * a / gamma_air / 300.0, pressure, 300.0);
}

/// Isentropic disturbance of still gas.
Gas disturbed(const Tube& tube, double dp, double u = 0.0) {
    const double rho = tube.network.source.pressure / tube.network.source.rt;
    return {rho * std::pow(1.0 + dp / pressure, 1.0 / gamma_air), u, pressure + dp};
}

/// Frequency of the pressure in a cell over `periods` of about `expected`.
double frequency(Tube& tube, int pipe, int cell, double expected, double periods) {
    Crossings crossings;
    tube.march(periods / expected,
               [&](double time) { crossings.sample(time, tube.pressure(pipe, cell) - pressure); });
    return crossings.frequency();
}

}  // namespace

// tan(kL) = A/(k V) for a pipe of 40 mm bore and 300 mm, open to still air, on a vessel of 3 L
// (Kinsler et al. 2000, ch. 10): 63.96 and 585.97 Hz; the lumped neck would give 65.30 Hz.
TEST_CASE("resonator: pipe and 3 L vessel sound at the root of tan kL = A/(kV)") {
    constexpr double length = 0.3;
    constexpr double dx = length / 100;
    for (const double expected : {63.96, 585.97}) {
        CAPTURE(expected);
        Tube tube = air();
        const int vessel = tube.add({4 * dx, 4, constant(3e-3 / (4 * dx))});
        const int neck = tube.add({length, 100, constant(circle(0.04))});
        tube.add_mouth(neck, {vessel, 0.0, 4 * dx, {}}, 0.0);
        tube.network.chains.back().end = EndKind::open;
        tube.finish();
        const double k = 2.0 * pi * expected / sound;
        tube.fill(neck, [&](double x) {
            return disturbed(tube, amplitude * std::sin(k * (length - x)));
        });
        const double inside = amplitude * std::sin(k * length);
        tube.fill(vessel, [&](double) { return disturbed(tube, inside); });
        CHECK(frequency(tube, vessel, 1, expected, 12) == near(expected, 0.005));
    }
}

// a/(4L) and a/(2L), ends without correction (Kinsler et al. 2000, ch. 9): 289.35 and 578.70 Hz.
TEST_CASE("resonance: a pipe of 300 mm sounds at a quarter and at a half wave") {
    for (const bool closed : {true, false}) {
        CAPTURE(closed);
        const double expected = closed ? 289.35 : 578.70;
        Tube tube = air();
        Pipe pipe{0.3, 100, constant(circle(0.04))};
        pipe.start = closed ? EndKind::wall : EndKind::open;
        pipe.end = EndKind::open;
        const int number = tube.add(pipe);
        tube.finish();
        const double k = 2.0 * pi * expected / sound;
        tube.fill(number,
                  [&](double x) { return disturbed(tube, amplitude * std::sin(k * (0.3 - x))); });
        CHECK(frequency(tube, number, 30, expected, 12) == near(expected, 0.005));
    }
}

// f = a/(2 pi) sqrt(A/L (1/V1 + 1/V2)), Rayleigh 1896: 1 L and 3 L joined by a slot of 400 x 4 mm
// and 10 mm without end corrections, 807.1 Hz. The state of the slot is the product's own.
TEST_CASE("resonance: two vessels joined by a slot sound at the mass and spring of their air") {
    constexpr double expected = 807.1;
    constexpr double dx = 1e-3;
    Tube tube = air();
    const int small = tube.add({4 * dx, 4, constant(1e-3 / (4 * dx))});
    const int large = tube.add({4 * dx, 4, constant(3e-3 / (4 * dx))});
    tube.add_passage({small, 0, 4 * dx, {}}, {large, 0, 4 * dx, {}}, 1.6e-3, 1.0, 0.01);
    tube.finish();
    tube.fill(small, [&](double) { return disturbed(tube, 0.75 * amplitude); });
    tube.fill(large, [&](double) { return disturbed(tube, -0.25 * amplitude); });
    CHECK(frequency(tube, small, 1, expected, 12) == near(expected, 0.005));
}

// tan(k l_n) tan(k l_c) = A_n/A_c for a neck of 40 x 85 mm before a cavity of 153.2 x 244.2 mm, a
// = 344 m/s, no end correction (long cavities: Selamet and Radavich 1997, J. Acoust. Soc. Am. 101,
// 41-51, from memory): 95.762 Hz; lumped 99.220 Hz.
TEST_CASE("resonator: neck and long cavity sound at the root of their two tangents") {
    constexpr double expected = 95.762;
    constexpr double neck = 0.085;
    constexpr double length = neck + 0.2442;
    const double k = 2.0 * pi * expected / 344.0;
    // The face at the step takes the smaller section, or the neck would lack most of a cell.
    const auto area = [](double x) { return circle(x < neck + 1e-5 ? 0.04 : 0.1532); };
    const auto mode = [&](double x) {
        const double join = std::sin(k * neck) / std::cos(k * (length - neck));
        return amplitude * (x < neck ? std::sin(k * x) : join * std::cos(k * (length - x)));
    };
    SUBCASE("as one part with a step of its section") {
        Tube tube = air(344.0);
        Pipe pipe{length, 213, area};  // 213 cells bring the step within 0.005 mm of a face
        pipe.start = EndKind::open;
        const int part = tube.add(pipe);
        tube.finish();
        tube.network.model.courant = 1.2;  // 15:1 at one face
        tube.fill(part, [&](double x) { return disturbed(tube, mode(x)); });
        CHECK(frequency(tube, part, 200, expected, 12) == near(expected, 0.005));
    }
    SUBCASE("as a runner whose mouth takes the first cell of the cavity") {
        Tube tube = air(344.0);
        const int cavity = tube.add({0.2442, 120, constant(circle(0.1532))});
        const int runner = tube.add({neck, 42, constant(circle(0.04))});
        tube.add_mouth(runner, {cavity, 0.0, 0.2442 / 120, {}}, 0.0);
        tube.network.chains.back().end = EndKind::open;
        tube.finish();
        tube.fill(cavity, [&](double x) { return disturbed(tube, mode(neck + x)); });
        tube.fill(runner, [&](double x) { return disturbed(tube, mode(neck - x)); });
        CHECK(frequency(tube, cavity, 110, expected, 12) == near(expected, 0.005));
    }
}

namespace {

constexpr double pulse_pressure = 100.0;  // [Pa]

/// Smooth pulse of 0.3 m that runs in +x from its middle.
Gas pulse(const Tube& tube, double x, double middle) {
    const double s = (x - middle) / 0.15;
    const double dp =
        std::abs(s) < 1.0 ? pulse_pressure * std::pow(std::cos(0.5 * pi * s), 4) : 0.0;
    const double rho = tube.network.source.pressure / tube.network.source.rt;
    return disturbed(tube, dp, dp / (rho * sound));
}

/// Integral of the pressure disturbance over the cells of a pipe between two places [Pa m].
double impulse(const Tube& tube, int pipe, double from, double to) {
    const Chain& chain = tube.network.chains[static_cast<std::size_t>(pipe)];
    double sum = 0.0;
    for (int i = 0; i < chain.count; ++i) {
        const double x = tube.centre(pipe, i);
        if (x > from && x < to) {
            sum += (tube.pressure(pipe, i) - pressure) * chain.dx;
        }
    }
    return sum;
}

const double sent = pulse_pressure * 0.15 * 2.0 * 3.0 / 8.0;  // mean of cos^4 is 3/8

}  // namespace

// R = (A1 - A2)/(A1 + A2), T = 2 A1/(A1 + A2) (Kinsler et al. 2000, ch. 10). Judged by the
// integral of the pulse: its peak depends on how sharp the step is.
TEST_CASE("reflection: a step of the section sends back and lets pass what linear theory says") {
    for (const double ratio : {0.1, 0.25, 0.5, 2.0, 4.0, 10.0}) {
        CAPTURE(ratio);
        const double reflected = (1.0 - ratio) / (1.0 + ratio);
        Tube tube = air();
        // The face at the step has the smaller section.
        const double step = ratio < 1.0 ? 1.0 - 1e-6 : 1.0 + 1e-6;
        const int pipe =
            tube.add({2.0, 400, [=](double x) { return 1e-3 * (x < step ? 1.0 : ratio); }});
        tube.finish();
        // Beyond 4:1 at one face the wave speed alone asks for too long a step.
        tube.network.model.courant = ratio < 0.2 || ratio > 4.0 ? 1.2 : 1.6;
        tube.fill(pipe, [&](double x) { return pulse(tube, x, 0.6); });
        tube.march(0.8 / sound);
        CHECK(impulse(tube, pipe, 0.0, 0.9) / sent == near(reflected, 0.01));
        CHECK(impulse(tube, pipe, 1.1, 2.0) / sent == near(1.0 + reflected, 0.01));
    }
}

// The same at closed (R = 1) and open ends (R = -1), Kinsler et al. 2000, ch. 9.
TEST_CASE("reflection: a wall sends a pulse back and an open end its opposite") {
    for (const bool closed : {true, false}) {
        CAPTURE(closed);
        Tube tube = air();
        Pipe pipe{1.0, 200, constant(1e-3)};
        pipe.end = closed ? EndKind::wall : EndKind::open;
        const int number = tube.add(pipe);
        tube.finish();
        tube.fill(number, [&](double x) { return pulse(tube, x, 0.6); });
        tube.march(0.8 / sound);
        CHECK(impulse(tube, number, 0.0, 1.0) / sent == near(closed ? 1.0 : -1.0, 0.01));
    }
}

// Three equal pipes at a point: R = -1/3, T = 2/3 into each (Kinsler et al. 2000, ch. 10); the
// branch is a runner mouth without loss.
TEST_CASE("reflection: a branch of equal bore sends back a third and passes two thirds") {
    Tube tube = air();
    const int header = tube.add({2.0, 400, constant(1e-3)});
    const int branch = tube.add({1.0, 200, constant(1e-3)});
    tube.add_mouth(branch, {header, 0.99, 1.01, {}}, 0.0);
    tube.finish();
    tube.fill(header, [&](double x) { return pulse(tube, x, 0.6); });
    tube.march(0.8 / sound);
    CHECK(impulse(tube, header, 0.0, 0.9) / sent == near(-1.0 / 3.0, 0.01));
    CHECK(impulse(tube, header, 1.1, 2.0) / sent == near(2.0 / 3.0, 0.01));
    CHECK(impulse(tube, branch, 0.0, 1.0) / sent == near(2.0 / 3.0, 0.01));
}

namespace {

/// Mass flow per area that an ideal opening of area A/sqrt(loss) passes, less what a duct of this
/// pressure and velocity brings; air on the isentrope through (pressure, rho).
double exit_excess(double loss, double room, double rho, double p, double u) {
    const double g = gamma_air / (gamma_air - 1.0);
    const double here = rho * std::pow(p / pressure, 1.0 / gamma_air);
    const double rt0 = p / here + 0.5 * u * u / g;
    const double p0 = p * std::pow(rt0 * here / p, g);
    return p0 * laws::psi_exact(room / p0, gamma_air) / std::sqrt(loss * rt0) - here * u;
}

}  // namespace

// An exit that loses K velocity heads, an ideal opening of area A/sqrt(K), is a resistance to small
// waves on a mean flow of Mach M: with p' and u' of the quasi-steady law (Saint-Venant and Wantzel
// 1839) linearised, as in Bechert 1980, J. Sound Vib. 70, 389-405 (from memory), z = p'/(rho a u')
// and R = (z - 1)/(z + 1). At small M z is (K - 1) M. Integrals along x count (1 - M)/(1 + M) less
// for what comes back.
TEST_CASE("reflection: an exit with a loss is a resistance to waves on a mean flow") {
    constexpr double mach = 0.1;
    for (const double loss : {1.0, 5.0, 10.47, 25.0}) {
        CAPTURE(loss);
        Tube tube = air();
        const double u = mach * sound;
        const double rho = pressure / tube.network.source.rt;
        Pipe pipe{1.0, 200, constant(1e-3)};
        pipe.start = EndKind::open;
        pipe.end = EndKind::exit;
        pipe.exit_loss = loss;
        const int number = tube.add(pipe);
        tube.finish();
        double low = 0.3 * pressure;
        double room = pressure;
        for (int i = 0; i < 60; ++i) {
            const double middle = 0.5 * (low + room);
            (exit_excess(loss, middle, rho, pressure, u) > 0.0 ? low : room) = middle;
        }
        tube.network.room.pressure = room;
        const double enthalpy = 1.0 + 0.5 * (gamma_air - 1.0) * mach * mach;
        tube.network.source.pressure = pressure * std::pow(enthalpy, gamma_air / (gamma_air - 1.0));
        tube.network.source.rt *= enthalpy;
        tube.fill(number, [&](double x) {
            const double s = (x - 0.6) / 0.15;
            const double dp = std::abs(s) < 1.0 ? 10.0 * std::pow(std::cos(0.5 * pi * s), 4) : 0.0;
            const double near_rho = rho * std::pow(1.0 + dp / pressure, 1.0 / gamma_air);
            return Gas{near_rho, u + dp / (rho * sound), pressure + dp};
        });
        tube.march(0.7 / sound);
        const double sent_here = 10.0 * 0.15 * 2.0 * 3.0 / 8.0;
        const double by_pressure = exit_excess(loss, room, rho, pressure + 1.0, u) -
                                   exit_excess(loss, room, rho, pressure - 1.0, u);
        const double by_velocity = exit_excess(loss, room, rho, pressure, u - 1e-3) -
                                   exit_excess(loss, room, rho, pressure, u + 1e-3);
        const double z = by_velocity / 2e-3 / (by_pressure / 2.0) / (rho * sound);
        const double expected = (z - 1.0) / (z + 1.0) * (1.0 - mach) / (1.0 + mach);
        CHECK(impulse(tube, number, 0.0, 1.0) / sent_here == near(expected, 0.0, 0.01));
    }
}

#include <doctest/doctest.h>

#include "solver/laws/orifice.hpp"
#include "solver/march/runge_kutta.hpp"
#include "solver/network/builder.hpp"
#include "solver/network/right_hand_side.hpp"
#include "tests/support/engine.hpp"
#include "tests/support/near.hpp"

#include <boost/numeric/odeint/integrate/integrate_n_steps.hpp>

#include <cmath>
#include <numbers>

// Vessels and pipes of the product's own laws and stepper against closed forms.
using namespace plenair;

namespace {

using State = std::vector<double>;
constexpr double gamma_air = 1.4;
constexpr double gas_constant = 287.05;
constexpr double volume = 3e-3;  // m3
const double opening = std::numbers::pi / 4.0 * 5e-3 * 5e-3;  // m2, Cd 1
const laws::OrificeFunction law(gamma_air);

template <class System>
void advance(System system, State& x, double from, double to, int steps) {
    boost::numeric::odeint::integrate_n_steps(
        RungeKutta4(), system, x, from, (to - from) / steps, static_cast<std::size_t>(steps));
}

/// Mass and internal energy of a rigid adiabatic vessel against a room at rest.
struct Vessel {
    double room_pressure, room_rt;
    void operator()(const State& x, State& dxdt, double) const {
        const double rt = (gamma_air - 1.0) * x[1] / x[0];
        const double p = x[0] * rt / volume;
        const double in = laws::orifice_mass_flow(law, opening, room_pressure, room_rt, p, rt);
        const double h = gamma_air / (gamma_air - 1.0) * (in > 0.0 ? room_rt : rt);
        dxdt[0] = in;
        dxdt[1] = in * h;
    }
};

State vessel_at(double pressure, double temperature) {
    return {pressure * volume / (gas_constant * temperature),
            pressure * volume / (gamma_air - 1.0)};
}
double pressure_of(const State& x) {
    return (gamma_air - 1.0) * x[1] / volume;
}
double temperature_of(const State& x) {
    return (gamma_air - 1.0) * x[1] / x[0] / gas_constant;
}

}  // namespace

// Choked adiabatic blowdown, p/p_i = (1 + (g-1)/2 k t)^(-2g/(g-1)) with k = psi* A sqrt(R T_i)/V:
// 3 L, 5 mm, 6 bar, 300 K, k 1.315129 1/s (closed form of textbooks, e.g. Shapiro 1953).
TEST_CASE("vessel: choked blowdown follows the closed form") {
    State x = vessel_at(6e5, 300.0);
    const Vessel vessel{101325.0, gas_constant * 300.0};
    double time = 0.0;
    for (const auto& [to, expected] :
         {std::pair{0.1, 500292.0}, {0.2, 419076.0}, {0.3, 352583.0}, {0.672737, 191802.0}}) {
        advance(vessel, x, time, to, 200);
        time = to;
        CHECK(pressure_of(x) == near(expected, 5e-4));
    }
    CHECK(temperature_of(x) == near(216.57, 5e-4));
    test::record("Choked blowdown, pressure after 0.6727 s [Pa]",
                 "Closed form (Shapiro 1953, from memory)",
                 pressure_of(x),
                 191802.0,
                 "0.05 %");
}

TEST_CASE("vessel: isothermal blowdown falls exponentially while choked") {
    State x{6e5 * volume / (gas_constant * 300.0)};
    const double rt = gas_constant * 300.0;
    advance(
        [rt](const State& s, State& dxdt, double) {
            dxdt[0] = -laws::orifice_mass_flow(law, opening, s[0] * rt / volume, rt, 101325.0, rt);
        },
        x,
        0.0,
        0.1,
        100);
    CHECK(x[0] * rt / volume == near(526061.0, 5e-4));
}

// Energy balance of filling from a line at T0 = T_i = 300 K: T_f = g T0 / (1 + (g - 1) p_i/p_f).
TEST_CASE("vessel: filling from a line heats the gas by the ratio of the pressures") {
    const double line = 1e5;
    for (const auto& [from, expected] : {std::pair{1e-7, 420.0}, {0.5, 350.0}, {0.2, 388.89}}) {
        State x = vessel_at(from * line, 300.0);
        advance(Vessel{line, gas_constant * 300.0}, x, 0.0, 3.0, 60000);
        CHECK(pressure_of(x) == near(line, 1e-6));
        CHECK(temperature_of(x) == near(expected, 5e-4));
    }
}

// While choked the pressure rises linearly: 0.5283 p0 is reached at t = r*/(g k) = 0.286925 s.
TEST_CASE("vessel: choked filling from vacuum takes the closed-form time") {
    State x = vessel_at(1e-3, 300.0);
    advance(Vessel{1e5, gas_constant * 300.0}, x, 0.0, 0.286925, 60000);
    CHECK(pressure_of(x) == near(0.528282e5, 5e-4));
}

// Two vessels joined by a linear valve k (p1 - p2), isothermal, exponential closed form: a
// published reactor-network test (Goodwin et al., Cantera test suite), numbers for R 287.05.
TEST_CASE("vessels: a linear valve between two equalises them exponentially") {
    const double rt = gas_constant * 300.0;
    const double first = 10.0 * 101325.0 / rt;  // 1 m3 each, 10 and 1 atm
    const double second = 101325.0 / rt;
    State x{first, second};
    double time = 0.0;
    for (const auto& [to, expected] : {std::pair{0.05, 2.01434}, {0.1, 2.71952}, {0.5, 5.52549}}) {
        advance(
            [rt](const State& s, State& dxdt, double) {
                dxdt[1] = 2e-5 * rt * (s[0] - s[1]);
                dxdt[0] = -dxdt[1];
            },
            x,
            time,
            to,
            200);
        time = to;
        CHECK(x[1] == near(expected, 1e-5));
        CHECK(x[0] + x[1] == near(first + second, 1e-12));
    }
    test::record("Two vessels and a linear valve, mass after 0.5 s [kg]",
                 "Reactor-network test, closed form",
                 x[1],
                 5.52549,
                 "1e-5");
}

namespace {

/// Lumped manifold between a throttle and a pumping engine at constant speed (bar, g/s, degrees).
/// Crossley and Cook 1991, IEE Conf. Control '91, 921-925, with the cubic coefficient 0.00063.
double manifold_pressure(double angle, double start, double time) {
    const double n = 209.48;  // rad/s
    const double f = 2.821 + angle * (-0.05231 + angle * (0.10299 - 0.00063 * angle));
    State x{start};
    advance(
        [=](const State& s, State& dxdt, double) {
            const double p = s[0];
            const double r = p / 1.0;
            const double g = r <= 0.5 ? 1.0 : 2.0 * std::sqrt(std::max(r - r * r, 0.0));
            const double out = -0.366 + 0.08979 * n * p - 0.0337 * n * p * p + 0.0001 * n * n * p;
            dxdt[0] = 0.41328 * (f * g - out);
        },
        x,
        0.0,
        time,
        4000);
    return x[0];
}

}  // namespace

TEST_CASE("manifold: throttle and pumping settle at the published pressures") {
    const double start = manifold_pressure(8.9726, 0.6, 8.0);
    CHECK(start == near(0.5431, 1e-3));
    CHECK(manifold_pressure(11.93, 0.5431, 8.0) == near(0.7692, 1e-3));
    CHECK(manifold_pressure(20.0, 0.9, 8.0) == near(0.9571, 1e-3));
    // Step of the plate from 8.97 to 11.93 degrees at constant speed.
    for (const auto& [time, expected] :
         {std::pair{0.05, 0.6374}, {0.1, 0.6962}, {0.3, 0.7638}, {0.5, 0.7689}}) {
        CHECK(manifold_pressure(11.93, start, time) == near(expected, 1e-3));
    }
    test::record("Manifold pressure between throttle and engine [bar]",
                 "Crossley and Cook 1991",
                 start,
                 0.5431,
                 "0.1 %");
}

// A column of air set in motion by a small constant pressure, incompressible: u = U tanh(t/tau), U
// = sqrt(2 dp/(rho (1 + K))), tau = 2L/((1 + K) U). Numbers for dp 1000 Pa, rho 1.2, K 0.5, L 0.4
// m: u(5, 10, 20, 50 ms) = 10.090, 18.487, 28.276, 33.205 m/s. At dp 10 Pa all speeds are a tenth
// and all times ten times as long, and the waves in the pipe, steps of dp/(rho a), stay below 1 %
// of U.
TEST_CASE("pipe: a column starts from rest as tanh") {
    geometry::Runner pipe;
    pipe.length = 0.4;
    pipe.diameter = geometry::Profile::constant(0.04);
    pipe.exit_loss = 1.5;  // 1 + K behind a loss-free entry
    geometry::Bank bank;
    bank.runners = {pipe};
    Model model;
    model.friction = Friction::off;
    model.wall_heat = false;
    BenchSettings bench;
    bench.depression = 10.0;
    bench.temperature = 101325.0 / (gas_constant * 1.2);
    bench.gas_constant = gas_constant;
    bench.gamma = gamma_air;
    const Network n = build_bench({{bank}}, bench, model, {});
    State x = initial_state(n);
    RightHandSide rhs(n);
    RungeKutta4 stepper;
    const double h = 1e-4;
    int step = 0;
    const auto column = [&] {  // mean over the column and over one period 4 L/a of its waves
        const Chain& chain = n.chains.front();
        const int period = static_cast<int>(std::lround(4.0 * 0.4 / 343.8 / h));
        double sum = 0.0;
        for (int k = 0; k < period; ++k, ++step) {
            rhs.begin_step(step, step * h, h);
            stepper.do_step(rhs, x, step * h, h);
            for (int i = chain.first; i < chain.first + chain.count; ++i) {
                const auto at = static_cast<std::size_t>(i);
                sum += x[static_cast<std::size_t>(n.layout.rho_u()) + at] / x[at];
            }
        }
        return std::pair{sum / period / chain.count, h * (step - 0.5 * (period - 1))};
    };
    for (const auto& wanted :
         {std::pair{0.05, 1.0090}, {0.1, 1.8487}, {0.2, 2.8276}, {0.5, 3.3205}}) {
        const double time = wanted.first;
        const double expected = wanted.second;
        while (step * h < time - 0.5 * 4.0 * 0.4 / 343.8) {
            rhs.begin_step(step, step * h, h);
            stepper.do_step(rhs, x, step * h, h);
            ++step;
        }
        const auto [mean, at] = column();
        const auto captured_time = time;
        CAPTURE(captured_time);
        CHECK(at == near(time, 0.0, 1.5 * h));
        CHECK(mean == near(expected, 0.0, 0.005 * 3.3333));
        if (time > 0.4) {
            test::record("Start-up of a pipe column, velocity after 3.1 time constants [m/s]",
                         "u = U tanh(t/tau), closed form",
                         mean,
                         expected,
                         "0.5 % of U");
        }
    }
}

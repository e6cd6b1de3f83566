#include <doctest/doctest.h>

#include "tests/support/choked_header.hpp"
#include "tests/support/tube.hpp"

#include <boost/math/quadrature/gauss.hpp>

#include <cmath>
#include <functional>
#include <numbers>

// A part of changing section that loses air through its side: the force of its walls, p dA/dx, and
// the momentum that leaves with the air, (2 - theta) u per mass (Acrivos, Babcock and Pigford 1959;
// Bajura and Jones 1976), held against exact solutions. Cell means stand for centre values in both,
// so the design order is two.
using namespace plenair;
using test::Gas;
using test::State;
using test::Tube;

namespace {

constexpr double gamma_air = 1.4;
constexpr double gas_constant = 287.05;
constexpr double pressure = 1e5;
constexpr double rt0 = gas_constant * 300.0;
constexpr double pi = std::numbers::pi;

double integral(const std::function<double(double)>& f, double from, double to) {
    return boost::math::quadrature::gauss<double, 7>::integrate(f, from, to);
}

}  // namespace

// Steady, through a choked slot: two ordinary equations (tests/support/choked_header.hpp).
TEST_CASE("header: compressible flow along a taper with a choked slot converges with order two") {
    for (const double theta : {1.0, 1.05, 1.3}) {
        test::HeaderErrors last;
        for (const int cells : {20, 40, 80}) {
            const auto e = test::choked_header_errors(theta, cells);
            CAPTURE(theta);
            CAPTURE(cells);
            CAPTURE(e.pressure);
            CAPTURE(e.outflow);
            CAPTURE(e.inflow);
            if (last.pressure > 0.0) {
                CHECK(std::log2(last.pressure / e.pressure) > 1.9);
                CHECK(std::log2(last.outflow / e.outflow) > 1.9);
            }
            last = e;
        }
        CHECK(last.pressure < 1e-5);
        CHECK(last.inflow < 1e-4);
    }
}

// Second: unsteady, by a manufactured solution (Roache 2002, J. Fluids Eng. 124, 4-10): fields are
// chosen and what the equations then lack is added cell by cell. Walls at both ends.

namespace {

constexpr double omega = 2.0 * pi * 100.0;
constexpr double theta_made = 1.2;

double made_section(double x) {
    return 1e-3 * (1.0 + 0.5 * x);
}
constexpr double made_section_slope = 0.5e-3;

/// Fields and their rates at one place and time.
struct Made {
    double rho, u, p, rho_t, u_t, p_t, out, out_t;
};

Made made(double x, double t) {
    const double c = std::cos(pi * x);
    const double s = std::sin(pi * x);
    const double ct = std::cos(omega * t);
    const double st = std::sin(omega * t);
    const double rho0 = pressure / rt0;
    return {rho0 * (1.0 + 0.1 * c * ct),
            60.0 * s * st,
            pressure * (1.0 + 0.08 * c * ct),
            -rho0 * 0.1 * c * omega * st,
            60.0 * s * omega * ct,
            -pressure * 0.08 * c * omega * st,
            0.05 * (1.0 + 0.5 * c) * (1.0 + 0.5 * st),
            0.05 * (1.0 + 0.5 * c) * 0.5 * omega * ct};
}

double total_enthalpy(const Made& m) {
    return gamma_air / (gamma_air - 1.0) * m.p / m.rho + 0.5 * m.u * m.u;
}

/// Adds to every cell what the chosen fields need, and drives the outflows.
void force(const Tube& tube, int pipe, double t, State& rate) {
    const Chain& chain = tube.network.chains[static_cast<std::size_t>(pipe)];
    const Layout& at = tube.network.layout;
    for (int i = 0; i < chain.count; ++i) {
        const double from = i * chain.dx;
        const double to = from + chain.dx;
        const double inverse = tube.network.inverse_volume[tube.index(0, pipe, i)];
        const auto over = [&](const std::function<double(const Made&, double)>& f) {
            return integral([&](double x) { return f(made(x, t), x); }, from, to);
        };
        const auto between = [&](const std::function<double(const Made&)>& f) {
            return f(made(to, t)) * made_section(to) - f(made(from, t)) * made_section(from);
        };
        const double mass =
            over([](const Made& m, double x) { return m.rho_t * made_section(x) + m.out; }) +
            between([](const Made& m) { return m.rho * m.u; });
        const double momentum = over([](const Made& m, double x) {
                                    return (m.rho_t * m.u + m.rho * m.u_t) * made_section(x) -
                                           m.p * made_section_slope +
                                           (2.0 - theta_made) * m.u * m.out;
                                }) +
                                between([](const Made& m) { return m.rho * m.u * m.u + m.p; });
        const double energy =
            over([](const Made& m, double x) {
                return (m.p_t / (gamma_air - 1.0) + 0.5 * m.rho_t * m.u * m.u +
                        m.rho * m.u * m.u_t) *
                           made_section(x) +
                       m.out * total_enthalpy(m);
            }) +
            between([](const Made& m) { return m.rho * m.u * total_enthalpy(m); });
        rate[tube.index(at.rho(), pipe, i)] += mass * inverse;
        rate[tube.index(at.rho_u(), pipe, i)] += momentum * inverse;
        rate[tube.index(at.rho_e(), pipe, i)] += energy * inverse;
        rate[tube.index(at.rho_y(), pipe, i)] += mass * inverse;
        rate[static_cast<std::size_t>(at.passage_flow() + i)] =
            over([](const Made& m, double) { return m.out_t; });
    }
}

struct MadeErrors {
    double rho, rho_u, rho_e;
};

MadeErrors made_errors(int cells) {
    Tube tube(gamma_air, gas_constant, pressure, 300.0);
    const int pipe = tube.add({1.0, cells, made_section});
    const double dx = 1.0 / cells;
    for (int i = 0; i < cells; ++i) {
        tube.add_passage(
            {pipe, i * dx, (i + 1) * dx, {}}, {-1, 0.0, 0.0, tube.network.source}, 1e-4, 1.0, 1.0);
    }
    tube.network.model.regain = theta_made;
    tube.finish();
    const auto fields = [](double t) {
        return [t](double x) {
            const Made m = made(x, t);
            return Gas{m.rho, m.u, m.p};
        };
    };
    tube.fill(pipe, fields(0.0));
    const Layout& at = tube.network.layout;
    for (int i = 0; i < cells; ++i) {
        tube.state[static_cast<std::size_t>(at.passage_flow() + i)] =
            integral([](double x) { return made(x, 0.0).out; }, i * dx, (i + 1) * dx);
    }
    tube.forcing = [&](double t, const State&, State& rate) { force(tube, pipe, t, rate); };
    const double time = 3e-3;
    tube.march_equal(time, 2 * cells);  // Courant number below 0.7: the error is that of the cells
    const State computed = tube.state;
    tube.fill(pipe, fields(time));
    const auto rms = [&](int block, double scale) {
        double sum = 0.0;
        for (int i = 0; i < cells; ++i) {
            const auto k = tube.index(block, pipe, i);
            sum += std::pow((computed[k] - tube.state[k]) / scale, 2) / cells;
        }
        return std::sqrt(sum);
    };
    const double rho0 = pressure / rt0;
    return {rms(at.rho(), rho0), rms(at.rho_u(), rho0 * 60.0), rms(at.rho_e(), 2.5 * pressure)};
}

}  // namespace

TEST_CASE("header: a manufactured unsteady flow with taper and outflow converges with order two") {
    MadeErrors last{0.0, 0.0, 0.0};
    for (const int cells : {20, 40, 80}) {
        const MadeErrors e = made_errors(cells);
        CAPTURE(cells);
        CAPTURE(e.rho);
        CAPTURE(e.rho_u);
        CAPTURE(e.rho_e);
        if (last.rho > 0.0) {
            CHECK(std::log2(last.rho / e.rho) > 1.9);
            CHECK(std::log2(last.rho_u / e.rho_u) > 1.9);
            CHECK(std::log2(last.rho_e / e.rho_e) > 1.9);
        }
        last = e;
    }
    CHECK(last.rho_u < 1e-3);
}

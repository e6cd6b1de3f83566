#include <doctest/doctest.h>

#include "solver/laws/orifice.hpp"
#include "solver/march/steady.hpp"
#include "tests/support/near.hpp"
#include "tests/support/tube.hpp"

#include <boost/math/quadrature/gauss.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

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

// First: steady, from still air at the open start to a closed end, through a slot along the whole
// part that is choked everywhere, so that the compressible flow obeys two ordinary equations.

double section(double x) {
    return 2e-3 * (1.0 - 0.4 * x + 0.1 * std::sin(2.0 * pi * x));
}
double section_slope(double x) {
    return 2e-3 * (-0.4 + 0.2 * pi * std::cos(2.0 * pi * x));
}
constexpr double slot_width = 0.6e-3;

/// Pressure and mass flow along the part for one theta, by Runge and Kutta's fourth-order steps
/// from the closed end; both are proportional to the pressure there.
class ChokedHeader final {
public:
    explicit ChokedHeader(double theta) : theta_(theta) {
        p_.assign(steps + 1, 0.0);
        w_.assign(steps + 1, 0.0);
        double p = pressure;
        double w = 0.0;
        p_[steps] = p;
        constexpr double h = -1.0 / steps;
        for (int i = steps; i > 0; --i) {
            const double x = static_cast<double>(i) / steps;
            const auto a = slope(x, p, w);
            const auto b = slope(x + 0.5 * h, p + 0.5 * h * a.p, w + 0.5 * h * a.w);
            const auto c = slope(x + 0.5 * h, p + 0.5 * h * b.p, w + 0.5 * h * b.w);
            const auto d = slope(x + h, p + h * c.p, w + h * c.w);
            p += h / 6.0 * (a.p + 2.0 * b.p + 2.0 * c.p + d.p);
            w += h / 6.0 * (a.w + 2.0 * b.w + 2.0 * c.w + d.w);
            p_[static_cast<std::size_t>(i) - 1] = p;
            w_[static_cast<std::size_t>(i) - 1] = w;
        }
        // Isentropic entry at x = 0.
        const double u = velocity(w / (p * section(0.0)));
        const double ratio = 1.0 - u * u * (gamma_air - 1.0) / (2.0 * gamma_air * rt0);
        const double scale = pressure / (p * std::pow(ratio, -gamma_air / (gamma_air - 1.0)));
        for (int i = 0; i <= steps; ++i) {
            p_[static_cast<std::size_t>(i)] *= scale;
            w_[static_cast<std::size_t>(i)] *= scale;
        }
    }
    /// Mean pressure over a cell by volume: Simpson's rule, on an even number of own steps.
    [[nodiscard]] double mean_pressure(int cell, int cells) const {
        const int n = steps / cells;
        double sum = 0.0;
        double volume = 0.0;
        for (int k = 0; k <= n; ++k) {
            const int i = cell * n + k;
            const double weight = (k == 0 || k == n ? 1.0
                                   : k % 2 == 1     ? 4.0
                                                    : 2.0) *
                                  section(static_cast<double>(i) / steps);
            sum += weight * p_[static_cast<std::size_t>(i)];
            volume += weight;
        }
        return sum / volume;
    }
    /// What the slot takes over a cell [kg/s].
    [[nodiscard]] double outflow(int cell, int cells) const {
        const int n = steps / cells;
        return w_[static_cast<std::size_t>(cell * n)] -
               w_[static_cast<std::size_t>((cell + 1) * n)];
    }
    [[nodiscard]] double inflow() const { return w_.front(); }

private:
    static constexpr int steps = 3200;
    struct Slope {
        double p, w;
    };

    /// u from g = W/(p A) at constant total enthalpy: k u^2 + u/g = R T0, k = (gamma - 1)/(2
    /// gamma).
    static double velocity(double g) {
        const double k = (gamma_air - 1.0) / (2.0 * gamma_air);
        return 2.0 * rt0 * g / (1.0 + std::sqrt(1.0 + 4.0 * k * rt0 * g * g));
    }
    [[nodiscard]] Slope slope(double x, double p, double w) const {
        const double k = (gamma_air - 1.0) / (2.0 * gamma_air);
        const double a = section(x);
        const double g = w / (p * a);
        const double u = velocity(g);
        const double rt = rt0 - k * u * u;
        const double psi =
            std::sqrt(gamma_air) *
            std::pow(2.0 / (gamma_air + 1.0), 0.5 * (gamma_air + 1.0) / (gamma_air - 1.0));
        const double out = slot_width * psi * p / std::sqrt(rt);
        const double du_dg = g > 0.0 ? u / (g * (1.0 + 2.0 * k * u * g)) : rt0;
        // W du + A dp = (theta - 1) u m' dx with dW = -m' dx.
        const double right =
            (theta_ - 1.0) * u * out - w * du_dg * (-out / (p * a) - g * section_slope(x) / a);
        return {right / (a - w * du_dg * g / p), -out};
    }

    double theta_;
    std::vector<double> p_, w_;
};

struct Errors {
    double pressure, outflow, inflow;
};

Errors header_errors(double theta, int cells) {
    Tube tube(gamma_air, gas_constant, pressure, 300.0);
    test::Pipe pipe{1.0, cells, section};
    pipe.start = EndKind::open;
    const int header = tube.add(pipe);
    const double dx = 1.0 / cells;
    Reservoir room = tube.network.source;
    room.pressure = 0.1 * pressure;
    for (int i = 0; i < cells; ++i) {
        tube.add_passage(
            {header, i * dx, (i + 1) * dx, {}}, {-1, 0.0, 0.0, room}, slot_width * dx, 1.0, 0.05);
    }
    tube.network.model.regain = theta;
    tube.finish();
    tube.march(0.1);
    const SteadyOutcome outcome = find_steady_state(tube.network, tube.state);
    REQUIRE_MESSAGE(outcome.converged, outcome.failure);

    const ChokedHeader exact(theta);
    Errors e{0.0, 0.0, 0.0};
    double in = 0.0;
    for (int i = 0; i < cells; ++i) {
        const double p = tube.pressure(header, i) / exact.mean_pressure(i, cells) - 1.0;
        const double m =
            tube.state[static_cast<std::size_t>(tube.network.layout.passage_flow() + i)];
        const double out = m / exact.outflow(i, cells) - 1.0;
        e.pressure += p * p / cells;
        e.outflow += out * out / cells;
        in += m;
    }
    return {std::sqrt(e.pressure), std::sqrt(e.outflow), std::abs(in / exact.inflow() - 1.0)};
}

}  // namespace

TEST_CASE("header: compressible flow along a taper with a choked slot converges with order two") {
    for (const double theta : {1.0, 1.05, 1.3}) {
        Errors last{0.0, 0.0, 0.0};
        for (const int cells : {20, 40, 80}) {
            const Errors e = header_errors(theta, cells);
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

#include "tests/support/choked_header.hpp"

#include "solver/march/steady.hpp"
#include "tests/support/tube.hpp"

#include <cmath>
#include <numbers>
#include <stdexcept>
#include <vector>

namespace plenair::test {

namespace {

constexpr double gamma_air = 1.4;
constexpr double gas_constant = 287.05;
constexpr double pressure = 1e5;
constexpr double rt0 = gas_constant * 300.0;
constexpr double pi = std::numbers::pi;

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

/// The part with its slot, at rest.
Tube make_header(double theta, int cells) {
    Tube tube(gamma_air, gas_constant, pressure, 300.0);
    Pipe pipe{1.0, cells, section};
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
    return tube;
}

}  // namespace

HeaderErrors choked_header_errors(double theta, int cells) {
    Tube tube = make_header(theta, cells);
    tube.march(0.1);
    const SteadyOutcome outcome = find_steady_state(tube.network, tube.state);
    if (!outcome.converged) {
        throw std::runtime_error(outcome.failure);
    }
    const ChokedHeader exact(theta);
    HeaderErrors e;
    double in = 0.0;
    for (int i = 0; i < cells; ++i) {
        const double p = tube.pressure(0, i) / exact.mean_pressure(i, cells) - 1.0;
        const double m =
            tube.state[static_cast<std::size_t>(tube.network.layout.passage_flow() + i)];
        const double out = m / exact.outflow(i, cells) - 1.0;
        e.pressure += p * p / cells;
        e.outflow += out * out / cells;
        in += m;
    }
    e.pressure = std::sqrt(e.pressure);
    e.outflow = std::sqrt(e.outflow);
    e.inflow = std::abs(in / exact.inflow() - 1.0);
    return e;
}

std::vector<double> starting_header(int cells, int steps) {
    Tube tube = make_header(1.05, cells);
    tube.march_equal(5e-3, steps);
    return tube.pressures(0);
}

}  // namespace plenair::test

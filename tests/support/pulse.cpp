#include "tests/support/pulse.hpp"

#include "tests/support/tube.hpp"

#include <cmath>
#include <vector>

namespace plenair::test {

namespace {

constexpr double gamma_air = 1.4;
constexpr double pressure = 1e5;
constexpr double sound = 347.22;
constexpr double time = 1.2e-3;
constexpr double amplitude = 1000.0 / (gamma_air * pressure) * sound;  // of the velocity [m/s]

double start_velocity(double x) {
    const double s = (x - 0.25) / 0.07;
    return amplitude * std::exp(-s * s);
}

/// Gas of a simple wave running in +x over still gas, by its velocity.
Gas simple_wave(double u) {
    const double rho0 = gamma_air * pressure / (sound * sound);
    const double a = 1.0 + 0.5 * (gamma_air - 1.0) * u / sound;
    return {rho0 * std::pow(a, 2.0 / (gamma_air - 1.0)),
            u,
            pressure * std::pow(a, 2.0 * gamma_air / (gamma_air - 1.0))};
}

/// Velocity at x and t: u = u0(x - (u + a) t), by fixed-point passes.
double velocity(double x, double t) {
    double u = 0.0;
    for (int pass = 0; pass < 60; ++pass) {
        u = start_velocity(x - (sound + 0.5 * (gamma_air + 1.0) * u) * t);
    }
    return u;
}

Tube pipe_at_rest(int cells) {
    Tube tube(gamma_air, sound * sound / gamma_air / 300.0, pressure, 300.0);
    tube.add({1.0, cells, [](double) { return 1e-3; }});
    tube.finish();
    return tube;
}

/// Density of every cell after the march.
std::vector<double> marched(int cells, double courant) {
    Tube tube = pipe_at_rest(cells);
    tube.fill(0, [](double x) { return simple_wave(start_velocity(x)); });
    const double h = courant / cells / (sound + amplitude);
    tube.march_equal(time, static_cast<int>(std::ceil(time / h)));
    std::vector<double> rho;
    for (int i = 0; i < cells; ++i) {
        rho.push_back(tube.density(0, i));
    }
    return rho;
}

double difference(const std::vector<double>& a, const std::vector<double>& b) {
    double sum = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        sum += (a[i] - b[i]) * (a[i] - b[i]) / static_cast<double>(a.size());
    }
    const Gas at_rest = simple_wave(0.0);
    return std::sqrt(sum) / (simple_wave(amplitude).rho - at_rest.rho);
}

}  // namespace

double pulse_error(int cells, double courant) {
    Tube exact = pipe_at_rest(cells);
    exact.fill(0, [](double x) { return simple_wave(velocity(x, time)); });
    std::vector<double> rho;
    for (int i = 0; i < cells; ++i) {
        rho.push_back(exact.density(0, i));
    }
    return difference(marched(cells, courant), rho);
}

double pulse_step_error(int cells, double courant) {
    return difference(marched(cells, courant), marched(cells, 0.05));
}

}  // namespace plenair::test

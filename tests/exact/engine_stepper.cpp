#include <doctest/doctest.h>
#include <Eigen/LU>

#include "solver/march/anderson.hpp"
#include "solver/march/runge_kutta.hpp"
#include "tests/support/engine.hpp"
#include "tests/support/near.hpp"

#include <boost/numeric/odeint/integrate/integrate_n_steps.hpp>

#include <cmath>

using namespace plenair;

namespace {

using State = std::vector<double>;

/// Error at t = 1 of a damped oscillation with forcing, x' = A x + (0, sin t), against the same
/// method with a step sixteen times shorter.
State integrate_oscillation(int steps) {
    State x{1.0, 0.5};
    const auto system = [](const State& s, State& dxdt, double t) {
        dxdt[0] = s[1];
        dxdt[1] = -4.0 * s[0] - 0.6 * s[1] + std::sin(t);
    };
    boost::numeric::odeint::integrate_n_steps(
        RungeKutta4(), system, x, 0.0, 1.0 / steps, static_cast<std::size_t>(steps));
    return x;
}

double oscillation_error(int steps) {
    const State fine = integrate_oscillation(16 * steps);
    const State x = integrate_oscillation(steps);
    return std::hypot(x[0] - fine[0], x[1] - fine[1]);
}

}  // namespace

// Hairer, Norsett and Wanner 1993, Solving Ordinary Differential Equations I, table 1.2: fourth
// order.
TEST_CASE("stepper: halving the step divides the error of a linear equation by sixteen") {
    for (const int steps : {20, 40, 80}) {
        const double order = std::log2(oscillation_error(steps) / oscillation_error(2 * steps));
        CAPTURE(steps);
        CHECK(order == near(4.0, 0.0, 0.1));
    }
}

// Stability polynomial of the method on x' = lambda x, from its Butcher array: it agrees with
// exp(z) to z^4 and ends there.
TEST_CASE("stepper: one step on x' = lambda x is the method's stability polynomial") {
    for (const double z : {-2.0, -0.5, 0.1, 0.7}) {
        State x{1.0};
        RungeKutta4 stepper;
        stepper.do_step(
            [z](const State& s, State& dxdt, double) { dxdt[0] = z * s[0]; }, x, 0.0, 1.0);
        const double exact = 1.0 + z + z * z / 2.0 + z * z * z / 6.0 + z * z * z * z / 24.0;
        CHECK(x[0] == near(exact, 1e-14, 1e-15));
    }
}

// An inflow that rises and falls in straight lines, area 0.1 kg: a published reactor-network test
// (Goodwin et al., Cantera test suite, mass flow controller).
TEST_CASE("stepper: a triangular inflow with steps on its corners is integrated exactly") {
    const double start = 0.2;
    const double top = 0.5;
    const double end = 1.2;
    const double peak = 2.0 * 0.1 / (end - start);
    // A step's last stage stands on its own side of a corner: the piece is chosen per step.
    const auto integrate = [&](double from, double to, int steps, auto flow, State& x) {
        const auto system = [&](const State&, State& dxdt, double t) { dxdt[0] = flow(t); };
        boost::numeric::odeint::integrate_n_steps(
            RungeKutta4(), system, x, from, (to - from) / steps, static_cast<std::size_t>(steps));
    };
    State x{0.0};
    integrate(
        0.0, start, 3, [](double) { return 0.0; }, x);
    integrate(
        start, top, 7, [&](double t) { return peak * (t - start) / (top - start); }, x);
    integrate(
        top, end, 11, [&](double t) { return peak * (end - t) / (end - top); }, x);
    CHECK(x[0] == near(0.1, 1e-9));
    test::record("Triangular inflow, area [kg]", "Reactor-network test, exact", x[0], 0.1, "1e-9");
}

// Walker and Ni 2011, SIAM J. Numer. Anal. 49(4): on a linear map without restart Anderson's method
// is GMRES, so n + 1 images are enough where the depth is n. Plain iteration would need 450.
TEST_CASE("anderson: a linear map of five unknowns is solved in seven images") {
    Eigen::MatrixXd a(5, 5);
    a << 0.9, 0.1, 0.0, 0.0, 0.2, -0.1, 0.8, 0.05, 0.0, 0.0, 0.0, 0.1, 0.5, -0.3, 0.0, 0.0, 0.0,
        0.3, 0.4, 0.1, 0.1, 0.0, 0.0, 0.1, -0.6;
    const Eigen::VectorXd b = Eigen::VectorXd::LinSpaced(5, 1.0, 2.0);
    const Eigen::VectorXd exact = (Eigen::MatrixXd::Identity(5, 5) - a).partialPivLu().solve(b);
    Anderson anderson(5);
    Eigen::VectorXd x = Eigen::VectorXd::Zero(5);
    for (int image = 0; image < 7; ++image) {
        x = anderson.next(x, a * x + b, Eigen::VectorXd::Zero(1)).state;
    }
    CHECK((x - exact).norm() / exact.norm() < 1e-9);
}

#include "cases/file/read.hpp"
#include "solver/march/runge_kutta.hpp"
#include "solver/network/builder.hpp"
#include "solver/network/right_hand_side.hpp"
#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <cmath>
#include <memory>

// The marching method against CVODE (Hindmarsh A. C. et al. 2005, ACM Trans. Math. Softw. 31,
// 363-396, SUNDIALS) on one right-hand side: a header with two runners from rest, with waves,
// mouths, jet and bench exits.

namespace {

using namespace plenair;

constexpr double duration = 2e-3;  // [s]; the first waves have passed the header four times

Network header_with_runners() {
    const std::string text = test::source_text(5000, "all") + R"([throttle]
bore = "40 mm"
shaft = "8 mm"
cd = 0.9
cd_area = "open"
[plenum]
length = "200 mm"
diameter = "60 mm"
[runner]
x = "60, 140 mm"
length = "150 mm"
diameter = "38 mm"
entry_loss = 0.4
exit_loss = 2.5
[model]
friction = "smooth"
cells = "coarse"
)";
    const Case c = parse_case(text, "rig.toml", {});
    return build_bench(c.intake, c.bench.front(), c.model, {});
}

/// Right-hand side on the unknowns that change, each over its own size.
struct System {
    explicit System(const Network& network) : rhs(network), rate(initial_state(network)) {
        rhs.begin_step(0, 0.0, 1.0);
    }
    RightHandSide rhs;
    std::vector<double> state, rate, scale;
};

int scaled_rate(sunrealtype t, N_Vector y, N_Vector ydot, void* user) {
    auto& s = *static_cast<System*>(user);
    const double* in = N_VGetArrayPointer(y);
    double* out = N_VGetArrayPointer(ydot);
    for (std::size_t i = 0; i < s.state.size(); ++i) {
        s.state[i] = in[i] * s.scale[i];
    }
    s.rhs(s.state, s.rate, t);
    for (std::size_t i = 0; i < s.state.size(); ++i) {
        out[i] = s.rate[i] / s.scale[i];
    }
    return 0;
}

/// State after `duration` by CVODE (Adams, functional iteration), tolerance 1e-11.
std::vector<double> by_cvode(const Network& network, const std::vector<double>& scale) {
    System system(network);
    system.state = initial_state(network);
    system.scale = scale;
    const auto size = static_cast<sunindextype>(system.state.size());
    SUNContext context = nullptr;
    REQUIRE(SUNContext_Create(nullptr, &context) == 0);
    N_Vector y = N_VNew_Serial(size, context);
    double* values = N_VGetArrayPointer(y);
    for (std::size_t i = 0; i < system.state.size(); ++i) {
        values[i] = system.state[i] / scale[i];
    }
    void* memory = CVodeCreate(CV_BDF, context);
    REQUIRE(CVodeInit(memory, scaled_rate, 0.0, y) == CV_SUCCESS);
    REQUIRE(CVodeSStolerances(memory, 1e-10, 1e-11) == CV_SUCCESS);
    REQUIRE(CVodeSetUserData(memory, &system) == CV_SUCCESS);
    REQUIRE(CVodeSetMaxNumSteps(memory, 1000000) == CV_SUCCESS);
    SUNMatrix matrix = SUNDenseMatrix(size, size, context);
    SUNLinearSolver linear = SUNLinSol_Dense(y, matrix, context);
    REQUIRE(CVodeSetLinearSolver(memory, linear, matrix) == CV_SUCCESS);
    sunrealtype reached = 0;
    REQUIRE(CVodeSetStopTime(memory, duration) == CV_SUCCESS);
    REQUIRE(CVode(memory, duration, y, &reached, CV_NORMAL) >= 0);
    REQUIRE(reached == near(duration, 1e-14));
    std::vector<double> result(values, values + size);
    CVodeFree(&memory);
    SUNLinSolFree(linear);
    SUNMatDestroy(matrix);
    N_VDestroy(y);
    SUNContext_Free(&context);
    return result;
}

/// The same by the product's own stepper, over `scale`.
std::vector<double> by_own_stepper(const Network& network,
                                   const std::vector<double>& scale,
                                   int steps) {
    RightHandSide rhs(network);
    rhs.begin_step(0, 0.0, 1.0);
    RungeKutta4 stepper;
    std::vector<double> x = initial_state(network);
    const double h = duration / steps;
    for (int i = 0; i < steps; ++i) {
        stepper.do_step([&rhs](const auto& s, auto& r, double t) { rhs(s, r, t); }, x, i * h, h);
    }
    for (std::size_t i = 0; i < x.size(); ++i) {
        x[i] /= scale[i];
    }
    return x;
}

/// Size of every unknown: that of the gas at the source; 1 for what counts up from nothing.
std::vector<double> sizes(const Network& network) {
    const Layout& at = network.layout;
    std::vector<double> scale(static_cast<std::size_t>(at.size()), 1.0);
    const double rho = network.source.pressure / network.source.rt;
    const double a = std::sqrt(network.gas.gamma * network.source.rt);
    for (int i = 0; i < at.cells; ++i) {
        scale[static_cast<std::size_t>(at.rho() + i)] = rho;
        scale[static_cast<std::size_t>(at.rho_u() + i)] = rho * a;
        scale[static_cast<std::size_t>(at.rho_e() + i)] = network.source.pressure / 0.4;
        scale[static_cast<std::size_t>(at.rho_y() + i)] = rho;
    }
    return scale;
}

}  // namespace

TEST_CASE("integrator: the stepper's state equals CVODE's to 1e-6 on the same equations") {
    const Network network = header_with_runners();
    const auto scale = sizes(network);
    const auto theirs = by_cvode(network, scale);
    const auto ours = by_own_stepper(network, scale, 4000);
    const Layout& at = network.layout;
    double worst = 0;
    for (int block : {at.rho(), at.rho_u(), at.rho_e()}) {
        for (const Chain& chain : network.chains) {
            for (int i = chain.first; i < chain.first + chain.count; ++i) {
                const auto j = static_cast<std::size_t>(block + i);
                worst = std::max(worst, std::abs(ours[j] - theirs[j]));
            }
        }
    }
    CHECK(worst == near(0, 0, 1e-6));
}

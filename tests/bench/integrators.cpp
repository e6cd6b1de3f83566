// What one engine cycle costs a general integrator, on the same right-hand side and to the same
// accuracy. Run by scripts/bench; results in docs/performance.md.
#include "cases/file/read.hpp"
#include "solver/cylinder/crank_table.hpp"
#include "solver/march/cycle.hpp"
#include "solver/march/cycle_map.hpp"
#include "solver/march/cycle_summary.hpp"
#include "solver/march/periodic_iteration.hpp"
#include "solver/network/builder.hpp"
#include "solver/network/right_hand_side.hpp"

#include <arkode/arkode_erkstep.h>
#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <ctime>
#include <functional>
#include <string>
#include <vector>

namespace {

using namespace plenair;

double now() {
    return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

/// The top point of the hill-climb four in its periodic state, with a crank table so fine that the
/// right-hand side is as good as continuous in time.
class Cycle final {
public:
    Cycle()
        : case_(read_case(std::string(PLENAIR_SOURCE_DIR) + file, {})), point_(case_.points[3]) {
        CycleOptions options;
        options.final_state = &periodic;
        (void)solve_point(case_.intake, case_.engine, point_, case_.model, options);
        coarse = build_engine(case_.intake, case_.engine, point_, case_.model);
        coarse.crank = make_crank_table(case_.engine, point_, first_table_step(point_));
        const double rate = step_rate_level(1.1 * fastest_rate(coarse, periodic));
        coarse.crank = make_crank_table(case_.engine, point_, 1.0 / rate);
        fine = coarse;
        fine.crank = make_crank_table(case_.engine, point_, 1.0 / rate / 64.0);
        for (const double step : fine.crank.step) {
            starts.push_back(length);
            length += step;
        }
        scale = state_scales(coarse, 0.35);
        scale.resize(periodic.size(), 1.0);  // the cycle integrals
    }

    /// The product's own march.
    [[nodiscard]] std::vector<double> own(const Network& n) const {
        std::vector<double> state = periodic;
        CycleMap map(n);
        map.march(state, trapped_steps(case_.engine, point_, n.crank));
        return state;
    }

    [[nodiscard]] double error(const std::vector<double>& a, const std::vector<double>& b) const {
        double sum = 0.0;
        const auto size = static_cast<std::size_t>(coarse.layout.periodic_size());
        for (std::size_t i = 0; i < size; ++i) {
            sum += std::pow((a[i] - b[i]) / scale[i], 2);
        }
        return std::sqrt(sum / static_cast<double>(size));
    }

    Network coarse, fine;
    std::vector<double> periodic, scale, starts;
    double length = 0;

private:
    static constexpr const char* file = "/cases/shipped/hill-climb-four/case.toml";
    Case case_;
    const OperatingPoint& point_;
};

struct System {
    explicit System(const Cycle& c) : cycle(c), rhs(c.fine), state(c.periodic), rate(c.periodic) {}
    const Cycle& cycle;
    RightHandSide rhs;
    std::vector<double> state, rate;
    long evaluations = 0;
};

int scaled_rate(sunrealtype t, N_Vector y, N_Vector ydot, void* user) {
    auto& s = *static_cast<System*>(user);
    const double* in = N_VGetArrayPointer(y);
    double* out = N_VGetArrayPointer(ydot);
    for (std::size_t i = 0; i < s.state.size(); ++i) {
        s.state[i] = in[i] * s.cycle.scale[i];
    }
    const auto& starts = s.cycle.starts;
    const double inside = std::clamp(t, 0.0, s.cycle.length * (1.0 - 1e-12));
    const auto after = std::upper_bound(starts.begin(), starts.end(), inside);
    const auto step = static_cast<std::size_t>(after - starts.begin()) - 1;
    s.rhs.begin_step(static_cast<int>(step), starts[step], s.cycle.fine.crank.step[step]);
    s.rhs(s.state, s.rate, inside);
    ++s.evaluations;
    for (std::size_t i = 0; i < s.state.size(); ++i) {
        out[i] = s.rate[i] / s.cycle.scale[i];
    }
    return 0;
}

struct Run {
    std::vector<double> state;
    double seconds = 0;
    long evaluations = 0;
};

/// One cycle by `march(context, y, system)`.
Run run(const Cycle& cycle, const std::function<void(SUNContext, N_Vector, System&)>& march) {
    System system(cycle);
    SUNContext context = nullptr;
    SUNContext_Create(nullptr, &context);
    const auto size = static_cast<sunindextype>(cycle.periodic.size());
    N_Vector y = N_VNew_Serial(size, context);
    double* values = N_VGetArrayPointer(y);
    for (std::size_t i = 0; i < cycle.periodic.size(); ++i) {
        values[i] = cycle.periodic[i] / cycle.scale[i];
    }
    const double start = now();
    march(context, y, system);
    Run result{{}, now() - start, system.evaluations};
    for (std::size_t i = 0; i < cycle.periodic.size(); ++i) {
        result.state.push_back(values[i] * cycle.scale[i]);
    }
    N_VDestroy(y);
    SUNContext_Free(&context);
    return result;
}

Run by_cvode(const Cycle& cycle, double tolerance) {
    return run(cycle, [&](SUNContext context, N_Vector y, System& system) {
        void* memory = CVodeCreate(CV_BDF, context);
        CVodeInit(memory, scaled_rate, 0.0, y);
        CVodeSStolerances(memory, tolerance, 0.1 * tolerance);
        CVodeSetUserData(memory, &system);
        CVodeSetMaxNumSteps(memory, 10000000);
        const sunindextype size = N_VGetLength(y);
        SUNMatrix matrix = SUNDenseMatrix(size, size, context);
        SUNLinearSolver linear = SUNLinSol_Dense(y, matrix, context);
        CVodeSetLinearSolver(memory, linear, matrix);
        CVodeSetStopTime(memory, cycle.length);
        sunrealtype reached = 0;
        CVode(memory, cycle.length, y, &reached, CV_NORMAL);
        CVodeFree(&memory);
        SUNLinSolFree(linear);
        SUNMatDestroy(matrix);
    });
}

Run by_arkode(const Cycle& cycle, double tolerance) {
    return run(cycle, [&](SUNContext context, N_Vector y, System& system) {
        void* memory = ERKStepCreate(scaled_rate, 0.0, y, context);
        ERKStepSStolerances(memory, tolerance, 0.1 * tolerance);
        ERKStepSetUserData(memory, &system);
        ERKStepSetOrder(memory, 4);
        ERKStepSetMaxNumSteps(memory, 10000000);
        ERKStepSetStopTime(memory, cycle.length);
        sunrealtype reached = 0;
        ERKStepEvolve(memory, cycle.length, y, &reached, ARK_NORMAL);
        ERKStepFree(&memory);
    });
}

void compare(const char* name,
             const Cycle& cycle,
             const std::vector<double>& answer,
             double wanted,
             Run (*by)(const Cycle&, double)) {
    for (double tolerance = 1e-2; tolerance > 1e-9; tolerance *= 0.3162277660168379) {
        const Run r = by(cycle, tolerance);
        const double error = cycle.error(r.state, answer);
        std::printf("%s, tolerance %.0e: error %.1e, %ld evaluations, %.1f ms a cycle\n",
                    name,
                    tolerance,
                    error,
                    r.evaluations,
                    1e3 * r.seconds);
        if (error <= wanted) {
            return;
        }
    }
}

}  // namespace

int main() {
    const Cycle cycle;
    const auto answer = cycle.own(cycle.fine);
    double start = now();
    constexpr int repeats = 20;
    std::vector<double> own;
    for (int i = 0; i < repeats; ++i) {
        own = cycle.own(cycle.coarse);
    }
    const double wanted = cycle.error(own, answer);
    std::printf("plenair, %zu steps: error %.1e, %zu evaluations, %.1f ms a cycle\n",
                cycle.coarse.crank.step.size(),
                wanted,
                4 * cycle.coarse.crank.step.size(),
                1e3 * (now() - start) / repeats);
    compare("CVODE (BDF, dense)", cycle, answer, wanted, by_cvode);
    compare("ARKODE (explicit, order 4)", cycle, answer, wanted, by_arkode);
    return 0;
}

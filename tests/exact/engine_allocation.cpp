#include <doctest/doctest.h>

#include "solver/cylinder/crank_table.hpp"
#include "solver/march/runge_kutta.hpp"
#include "solver/network/builder.hpp"
#include "solver/network/right_hand_side.hpp"
#include "tests/support/engine.hpp"

#include <atomic>
#include <cstdlib>
#include <new>

// A sanitizer brings its own allocation and must keep it; the release build of this test counts.
#if !defined(__SANITIZE_ADDRESS__)

namespace {

std::atomic<long> allocations{0};

void* counted(std::size_t size) {
    ++allocations;
    if (void* place = std::malloc(size == 0 ? 1 : size)) {
        return place;
    }
    throw std::bad_alloc();
}

}  // namespace

// Replaces the allocation of this program; new[] and the nothrow forms end here by default.
void* operator new(std::size_t size) {
    return counted(size);
}
void operator delete(void* place) noexcept {
    std::free(place);
}
void operator delete(void* place, std::size_t) noexcept {
    std::free(place);
}

using namespace plenair;

TEST_CASE("step: nothing is allocated after the first step") {
    for (const auto& name : {test::hill_climb, test::marine_log, test::v6_bank}) {
        CAPTURE(name);
        const Case c = test::shipped(name);
        Network n = build_engine(c.intake, c.engine, c.points.front(), c.model);
        n.crank = make_crank_table(c.engine, c.points.front(), 1e-5);
        std::vector<double> state = initial_state(n);
        RightHandSide rhs(n);
        RungeKutta4 stepper;
        const auto system = [&rhs](const std::vector<double>& x,
                                   std::vector<double>& dxdt,
                                   double t) { rhs(x, dxdt, t); };
        double time = 0.0;
        const auto march = [&](int from, int to) {
            for (int k = from; k < to; ++k) {
                const double h = n.crank.step[static_cast<std::size_t>(k)];
                rhs.begin_step(k, time, h);
                stepper.do_step(system, state, time, h);
                time += h;
            }
        };
        march(0, 1);
        const long before = allocations;
        march(1, 200);
        CHECK(allocations == before);
    }
}

#endif

#include <doctest/doctest.h>

#include "solver/cylinder/crank_table.hpp"
#include "solver/march/cycle_map.hpp"
#include "solver/march/not_an_engine.hpp"
#include "solver/march/passive_transport.hpp"
#include "solver/march/periodic_iteration.hpp"
#include "solver/network/builder.hpp"
#include "tests/support/engine.hpp"
#include "tests/support/near.hpp"

#include <cmath>

using namespace plenair;

namespace {

std::size_t index(int i) {
    return static_cast<std::size_t>(i);
}

/// ln rho at constant pressure of every real cell between two states, as the transport orders them.
Eigen::VectorXd entropy_change(const Network& n,
                               const PassiveTransport& transport,
                               const std::vector<double>& from,
                               const std::vector<double>& to) {
    const auto pressure = [&](const std::vector<double>& s, std::size_t i) {
        const auto cells = index(n.layout.cells);
        return (n.gas.gamma - 1.0) * (s[2 * cells + i] - 0.5 * s[cells + i] * s[cells + i] / s[i]);
    };
    const auto& cells = transport.cells();
    Eigen::VectorXd change(static_cast<Eigen::Index>(cells.size()));
    for (std::size_t k = 0; k < cells.size(); ++k) {
        const std::size_t i = index(cells[k]);
        change[static_cast<Eigen::Index>(k)] =
            (to[i] - from[i]) / from[i] -
            (pressure(to, i) - pressure(from, i)) / (n.gas.gamma * pressure(from, i));
    }
    return change;
}

}  // namespace

// Air that nothing exchanges keeps its mark: S is the identity on what is the same everywhere, and
// all cycles to come are c + c^2 + ... = c/(1 - c) of the first. S is carried in single precision:
// 50 steps of 6e-8 each, times the 50 that the series multiplies them by.
TEST_CASE("still air: what no flow exchanges is forecast as a geometric series") {
    const Case c = test::shipped(test::hill_climb);
    Network n = build_engine(c.intake, c.engine, c.points.front(), c.model);
    n.crank = make_crank_table(c.engine, c.points.front(), first_table_step(c.points.front()));
    PassiveTransport transport(n);
    const std::vector<double> at_rest = initial_state(n);
    for (int step = 0; step < 50; ++step) {
        transport.carry(at_rest, 1e-5);
    }
    CHECK_FALSE(transport.known());
    transport.end(0.98);
    REQUIRE(transport.known());
    const Eigen::VectorXd ones =
        Eigen::VectorXd::Ones(static_cast<Eigen::Index>(transport.cells().size()));
    const Eigen::VectorXd all = transport.forecast(ones);
    for (Eigen::Index i = 0; i < all.size(); ++i) {
        CHECK(all[i] == near(0.98 / 0.02, 1.5e-4));
    }
}

// Warmer air in a plenum: what is left of it after one cycle is what all cycles to come must still
// take away. The forecast knows most of that from the flow alone.
TEST_CASE("still air: the flow of a cycle forecasts how the engine forgets warm air") {
    for (const auto& name : {test::hill_climb, test::marine_log}) {
        CAPTURE(name);
        const Case c = test::shipped(name);
        const OperatingPoint& point = c.points.back();
        std::vector<double> state;
        CycleOptions options;
        options.final_state = &state;
        REQUIRE(solve_point(c.intake, c.engine, point, c.model, options).converged);
        Network n = build_engine(c.intake, c.engine, point, c.model);
        n.crank = make_crank_table(c.engine, point, first_table_step(point));
        n.crank =
            make_crank_table(c.engine, point, 1.0 / (1.3 * fastest_rate(n, initial_state(n))));
        std::vector<double> warm = state;
        constexpr double thinner = 1.0 - 1e-3;
        for (const Chain& chain : n.chains) {
            for (int i = chain.first; chain.end == EndKind::wall && i < chain.first + chain.count;
                 ++i) {
                const Layout& at = n.layout;
                const double kinetic =
                    0.5 * std::pow(warm[index(at.rho_u() + i)], 2) / warm[index(at.rho() + i)];
                for (const int q : {at.rho(), at.rho_u(), at.rho_y()}) {
                    warm[index(q + i)] *= thinner;
                }
                warm[index(at.rho_e() + i)] += (thinner - 1.0) * kinetic;
            }
        }
        const std::vector<double> before = warm;
        const std::vector<double> cold = state;
        CycleMap map(n);
        PassiveTransport transport(n);
        REQUIRE(map.march(state, {}, nullptr, {}, &transport));
        REQUIRE(map.march(warm, {}));
        transport.end(0.9999);
        REQUIRE(transport.known());
        const Eigen::VectorXd at_start = entropy_change(n, transport, cold, before);
        const Eigen::VectorXd at_end = entropy_change(n, transport, state, warm);
        const Eigen::VectorXd left = at_end + transport.forecast(at_end - at_start);
        CHECK(at_end.norm() > 0.1 * at_start.norm());  // it is slow
        CHECK(left.norm() < 0.4 * at_end.norm());
    }
}

// A square metre of plenum keeps its air for 150 cycles; its shares are those of patience all the
// same. The cylinders' cycle before would have taken hundreds.
TEST_CASE("still air: an intake that forgets slowly is solved, not waited for") {
    Case c = test::shipped(test::hill_climb, {"plenum.area=1000000 mm2"});
    const PointResult r = test::solve_named(c, "A4");
    REQUIRE_MESSAGE(r.converged, r.failure);
    CHECK(r.notes.empty());
    CHECK(r.cycles <= 25);
    c.model.tolerance = 1e-8;
    c.model.max_cycles = 400;
    const PointResult truth = test::solve_named(c, "A4");
    REQUIRE_MESSAGE(truth.converged, truth.failure);
    for (std::size_t i = 0; i < r.cylinders.size(); ++i) {
        CHECK(std::abs(r.cylinders[i].bias - truth.cylinders[i].bias) < 3e-5);
    }
}

TEST_CASE("still air: behind a throttle that lets next to nothing pass no air is negative") {
    const Case c = test::shipped(test::hill_climb, {"throttle.bore=10.001 mm"});
    const PointResult r = test::solve_named(c, "A1");
    REQUIRE_MESSAGE(r.converged, r.failure);
    for (const auto& cylinder : r.cylinders) {
        CHECK(cylinder.air_trapped >= 0.0);
    }
}

TEST_CASE("still air: what is not periodic names what moves and what to do") {
    const Case c =
        test::shipped(test::hill_climb, {"plenum.area=1000000 mm2", "model.max_cycles=5"});
    const PointResult r = test::solve_named(c, "A4");
    REQUIRE_FALSE(r.converged);
    CHECK(r.failure.find("5 cycles") != std::string::npos);
    CHECK(r.failure.find("known to") != std::string::npos);
    CHECK(r.failure.find("model.max_cycles") != std::string::npos);
}

TEST_CASE("still air: a result that has used up its cycles says what it is known to") {
    const Case c = test::shipped(test::hill_climb, {"model.max_cycles=6"});
    const PointResult r = test::solve_named(c, "A4");
    REQUIRE_MESSAGE(r.converged, r.failure);
    REQUIRE(r.notes.size() == 1);
    CHECK(r.notes.front().find("known to") != std::string::npos);
}

TEST_CASE("engine: a state that no engine runs in is marked, a sound one is not") {
    PointResult sound;
    sound.volumetric_efficiency = 0.9;
    sound.cylinders = {{1, 1, 1e-3, 1e-3, 0.5, 0.0, 0.05, 90},
                       {2, 2, 1e-3, 1e-3, 0.5, 0.0, 0.3, 90}};
    CHECK(not_an_engine(sound, {}).empty());
    PointResult bad = sound;
    bad.volumetric_efficiency = 0.1;
    bad.cylinders[1].residual_fraction = 0.51;
    bad.cylinders[0].air_delivered = -1e-4;
    const auto notes = not_an_engine(bad, {});
    REQUIRE(notes.size() == 3);
    CHECK(notes[0].find("51 % of the charge of cylinder 2") != std::string::npos);
    CHECK(notes[1].find("cylinder 1 gave back") != std::string::npos);
    CHECK(notes[2].find("0.10") != std::string::npos);
    Combustion motored;
    motored.motored = true;
    CHECK(not_an_engine(bad, motored).size() == 2);
}

#include <doctest/doctest.h>

#include <cmath>

#include "tests/reference/gases.hpp"
#include "tests/reference/pipe.hpp"
#include "tests/support/near.hpp"

// The second solver's pipe and gases held against closed forms and printed tables before anything
// is compared with it.

using namespace plenair::reference;

namespace {

const Gas air{1.4};

void march(Pipe& pipe, double time) {
    double t = 0;
    while (t < time * (1 - 1e-12)) {
        const double dt = std::min(0.8 / pipe.wave_rate(), time - t);
        pipe.predict(dt);
        pipe.finish(dt);
        t += dt;
    }
}

/// Marches with an end state held at both ends until it stands still.
template <class Left, class Right>
void settle(Pipe& pipe, const Left& left, const Right& right, double time) {
    double t = 0;
    while (t < time) {
        const double dt = 0.8 / pipe.wave_rate();
        pipe.predict(dt);
        pipe.set_end(true, left(pipe.end(true)), 1);
        pipe.set_end(false, right(pipe.end(false)), 1);
        pipe.finish(dt);
        t += dt;
    }
}

}  // namespace

TEST_CASE("reference pipe: the shock tube of Sod 1978") {
    // Toro 2009, table 4.3, test 1: p* 0.30313, u* 0.92745, rho* 0.42632 and 0.26557.
    Pipe pipe(air, 1, 800, [](double) { return 1.0; });
    pipe.fill([](double x) {
        return x < 0.5 ? Primitive{1, 0, 1, 1} : Primitive{0.125, 0, 0.1, 1};
    });
    const double mass = pipe.mass();
    march(pipe, 0.2);
    CHECK(pipe.mass() == near(mass, 1e-13));
    const auto& left_of_contact = pipe.state[static_cast<std::size_t>(0.6 * 800)];
    const auto& right_of_contact = pipe.state[static_cast<std::size_t>(0.78 * 800)];
    CHECK(left_of_contact.p == near(0.30313, 1e-3));
    CHECK(left_of_contact.u == near(0.92745, 1e-3));
    CHECK(left_of_contact.rho == near(0.42632, 1e-3));
    CHECK(right_of_contact.p == near(0.30313, 1e-3));
    CHECK(right_of_contact.rho == near(0.26557, 2e-3));
}

TEST_CASE("reference pipe: still gas in a tapered pipe stays still") {
    Pipe pipe(air, 0.3, 60, [](double x) { return 2e-3 * (1 - x); });
    pipe.fill([](double) { return Primitive{1.2, 0, 1e5, 1}; });
    march(pipe, 0.05);
    for (const auto& w : pipe.state) {
        CHECK(std::abs(w.u) < 1e-9);
    }
}

TEST_CASE("reference pipe: steady flow of a tapered runner with entry loss, second order") {
    // Mouth with K0 0.5, 40 to 34 mm, valve of 0.7 of the narrow end, p_c/p0 0.6: runner_flow.
    const Reservoir room = reservoir(air, 1e5, 287.05 * 300);
    const double narrow = 0.25 * 3.14159265358979 * 0.034 * 0.034;
    const double wide = 0.25 * 3.14159265358979 * 0.040 * 0.040;
    double errors[2] = {};
    for (const int k : {0, 1}) {
        Pipe pipe(air, 0.3, k == 0 ? 20 : 40, [&](double x) {
            const double d = 0.040 - 0.006 * x / 0.3;
            return 0.25 * 3.14159265358979 * d * d;
        });
        pipe.fill([](double) { return Primitive{1.16, 0, 1e5, 1}; });
        double flow = 0;
        settle(
            pipe,
            [&](const Duct& f) {
                const Through c = mouth(air, f, room, 0.5, room.p);
                flow = c.mass;
                return c;
            },
            [&](const Duct& f) {
                return opening(air, f, 0.7 * narrow, reservoir(air, 0.6e5, room.rt));
            },
            0.12);
        const double exact =
            runner_flow(air, {wide, narrow, 0.7 * narrow, 0.5}, room.p, room.rt, 0.6e5);
        errors[k] = std::abs(flow / exact - 1);
    }
    CHECK(errors[1] < 2e-4);
    CHECK(errors[1] < 0.35 * errors[0]);
}

TEST_CASE("reference pipe: friction as Fanno has it") {
    // Fanno line, NACA 1135 notation: 4 f L/D from M 0.3 to M is phi(0.3) - phi(M).
    const auto phi = [](double m) {
        return (1 - m * m) / (1.4 * m * m) + 2.4 / 2.8 * std::log(1.2 * m * m / (1 + 0.2 * m * m));
    };
    CHECK(phi(0.3) == near(5.2993, 1e-4));  // printed: 5.2992
    const Reservoir room = reservoir(air, 1e5, 287.05 * 300);
    const double area = 1e-3;
    const double d = std::sqrt(4 * area / 3.14159265358979);
    Pipe pipe(air, 0.5, 100, [&](double) { return area; });
    pipe.darcy = [](int, const Primitive&) { return 0.1; };
    pipe.fill([](double) { return Primitive{1.16, 100, 1e5, 1}; });
    settle(
        pipe,
        [&](const Duct& f) { return open_end(air, f, room); },
        [&](const Duct& f) { return mouth(air, f, reservoir(air, 0.85e5, room.rt), 0, 0.85e5); },
        0.3);
    const Duct in = pipe.end(true);
    const Duct out = pipe.end(false);
    CHECK(phi(in.mach(air)) - phi(-out.mach(air)) == near(0.1 * 0.5 / d, 2e-3));
}

TEST_CASE("reference gases: heat capacities and enthalpies as tabled") {
    // Air: cp 1.0049 at 300 K, 1.141 at 1000 K, h(1000) - h(300) = 745.8 kJ/kg (Keenan and Kaye
    // 1945, from memory); CO2 h(1000) - h(298.15) = 33.397 kJ/mol, H2O 26.000 (JANAF 1985).
    const MixedGas a = air_gas(0);
    CHECK(a.gas_constant() == near(287.05, 1e-4));
    CHECK(a.cp(300) == near(1004.9, 1e-3));
    CHECK(a.cp(1000) == near(1141, 2e-3));
    CHECK(a.enthalpy(1000) - a.enthalpy(300) == near(745.8e3, 2e-3));
    CHECK(MixedGas{{0, 0, 0, 1, 0}}.enthalpy(1000) * 44.0095e-3 == near(33397, 2e-3));
    CHECK(MixedGas{{0, 0, 0, 0, 1}}.enthalpy(1000) * 18.01528e-3 == near(26000, 2e-3));
    CHECK(MixedGas{{1, 0, 0, 0, 0}}.enthalpy(2000) * 28.0134e-3 == near(56137, 2e-3));
}

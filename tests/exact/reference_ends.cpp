#include <doctest/doctest.h>

#include <cmath>
#include <vector>

#include "tests/reference/duct_ends.hpp"
#include "tests/support/near.hpp"

// The reference of the tests held against what is printed: NACA Report 1135 (1953), table I, and
// itself, steady state in and steady state out.

using namespace plenair::reference;

namespace {

const Gas air{1.4};
constexpr double rt = 287.05 * 300;
constexpr double area = 1.2e-3;
const std::vector<double> ratios = {0.05, 0.2, 0.5, 0.8, 0.95, 0.999};
const std::vector<double> pressures = {0.9999, 0.99, 0.95, 0.9, 0.8, 0.7, 0.6, 0.53, 0.4, 0.2};

/// The end must give back the steady state that it is shown.
void same(const Through& ours, const Duct& steady) {
    CHECK(ours.mass == near(steady.rho * steady.v * steady.area, 1e-9));
    CHECK(ours.duct.p == near(steady.p, 1e-9));
    CHECK(ours.duct.rho == near(steady.rho, 1e-9));
}

}  // namespace

TEST_CASE("reference: isentropic flow as in the tables of NACA 1135") {
    struct Row {
        double mach, pressure, area;  // p/pt, A/A*
    };
    for (const Row& row : {Row{0.10, 0.9930, 5.8218},
                           Row{0.30, 0.9395, 2.0351},
                           Row{0.50, 0.8430, 1.3398},
                           Row{0.80, 0.6560, 1.0382},
                           Row{1.00, 0.5283, 1.0000}}) {
        CAPTURE(row.mach);
        const Duct d = at_mach(air, 1, 1, row.mach, 1);
        CHECK(d.p == near(row.pressure, 0, 5e-5));
        CHECK(flow_number(air, 1) / flow_number(air, row.mach) == near(row.area, 0, 5e-5));
        CHECK(total_pressure(air, d) == near(1, 1e-14));
        CHECK(total_enthalpy(air, d) == near(3.5, 1e-14));
    }
    CHECK(orifice(air, 1, 1, 1, 0.2) == near(0.684731, 1e-6));  // psi* at 1.4
}

TEST_CASE("reference: a normal shock of Mach 2 stops what the tables say it stops") {
    // NACA 1135, table II, Mach 2: p2/p1 4.500, rho2/rho1 2.667; speed given to the gas 1.25 a1.
    const Duct f{1, 1.4, -1.25, 1};
    CHECK(stop_pressure(air, f) == near(4.5, 1e-12));
    CHECK(behind_wave(air, f, 4.5).rho / f.rho == near(8.0 / 3.0, 1e-12));
}

TEST_CASE("reference: out of the duct, steady states stay, up to choking of opening and duct") {
    for (const double ratio : ratios) {
        for (const double r : pressures) {
            CAPTURE(ratio);
            CAPTURE(r);
            const double mach = mach_before(air, ratio, r);
            const Duct d = at_mach(air, 2e5, rt, -mach, area);
            same(out_through(air, d, ratio * area, r * 2e5), d);
            same(opening(air, d, ratio * area, reservoir(air, r * 2e5, rt)), d);
        }
    }
    const Duct sonic = at_mach(air, 2e5, rt, -1, area);
    same(out_through(air, sonic, area, 0.3 * 2e5), sonic);
    same(bench_exit(air, sonic, 1.0, reservoir(air, 0.3 * 2e5, rt)), sonic);
}

TEST_CASE("reference: into the duct, steady states stay and keep their total enthalpy") {
    // The cylinder's gas is hotter than its R T on the duct's datum says.
    const Reservoir cylinder{3e5, 2.1 * rt, 3.5 * 2.0 * rt};
    for (const double ratio : ratios) {
        for (const double r : pressures) {
            CAPTURE(ratio);
            CAPTURE(r);
            const Duct d = steady_behind(air, ratio, cylinder, r * cylinder.p, area);
            CHECK(d.mach(air) <= 1 + 1e-12);
            CHECK(total_enthalpy(air, d) == near(cylinder.h, 1e-12));
            same(opening(air, d, ratio * area, cylinder), d);
        }
    }
}

TEST_CASE("reference: mouths in and out, steady states stay") {
    const Reservoir room = reservoir(air, 1e5, rt);
    for (const double loss : {0.0, 0.05, 0.5, 1.0, 4.0}) {
        for (const double mach : {0.001, 0.1, 0.3, 0.6, 0.9, 1.0}) {
            CAPTURE(loss);
            CAPTURE(mach);
            const double w = at_mach(air, 1, rt, mach, 1).v;
            const Duct in = entry_state(air, room.p, room.h, loss, w, area);
            CHECK(in.mach(air) == near(mach, 1e-12));
            same(mouth(air, in, room, loss, room.p), in);
            same(bench_exit(air, in, std::max(loss, 1.0), room),
                 loss >= 1 ? in : bench_exit(air, in, 1.0, room).duct);
            // Out: the duct's static pressure is the room's; at Mach 1 it may lie above.
            const double p0 = room.p / at_mach(air, 1, 1, mach, 1).p;
            const Duct out = at_mach(air, p0, rt, -mach, area);
            same(mouth(air, out, room, loss, room.p), out);
        }
    }
    const Duct sonic = at_mach(air, 4e5, rt, -1, area);
    same(mouth(air, sonic, room, 0, room.p), sonic);
}

TEST_CASE("reference: a face that is supersonic towards the end leaves as it is") {
    const Duct fast = at_mach(air, 4e5, rt, -1.4, area);
    same(mouth(air, fast, reservoir(air, 1e5, rt), 0, 1e5), fast);
    same(out_through(air, fast, area, 1e5), fast);
}

TEST_CASE("reference: the choked runner's mass flow") {
    // Hand sums, p_c/p0 0.3: A_eff/A 1.2 chokes the duct; the entry loss of 0.5 heads and the
    // narrowing to 34 mm from 40 mm change what arrives. Over A p0 psi*/sqrt(R T0) at the narrow
    // end.
    const double most = orifice(air, 1, 1, 1, 0.1);
    const double narrow = 34.0 * 34 / (40 * 40);
    CHECK(runner_flow(air, {1, 1, 1.2, 0}, 1, 1, 0.3) / most == near(1, 1e-9));
    CHECK(runner_flow(air, {1, 1, 1.2, 0.5}, 1, 1, 0.3) / most == near(0.8440, 0, 5e-5));
    CHECK(runner_flow(air, {1, narrow, 1.2, 0.5}, 1, 1, 0.3) / most / narrow ==
          near(0.9360, 0, 5e-5));
    CHECK(runner_flow(air, {1, 1, 0.9, 0}, 1, 1, 0.3) / most == near(0.9, 1e-9));
    // Backwards from three times the pressure through half the area: M^2 (1 + 0.2 M^2) = (1.5
    // psi*)^2/1.4.
    const Duct d = steady_behind(air, 0.5, reservoir(air, 3, 1), 1, 1);
    CHECK(d.mach(air) == near(0.8155, 0, 5e-5));
    CHECK(d.rho * d.v / most == near(1.5, 1e-9));
}

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

#include "solver/laws/duct_flow.hpp"
#include "solver/laws/orifice.hpp"
#include "solver/network/ends.hpp"
#include "tests/reference/duct_ends.hpp"
#include "tests/support/near.hpp"

// The ends that the solver marches with against the textbook form of the same laws, solved by
// bracketing (tests/reference/duct_ends.hpp): steady states over Mach number and area ratio, both
// ways, up to choking of the opening and of the duct.

using namespace plenair;
namespace ref = plenair::reference;

namespace {

constexpr double rt = 287.05 * 300;
constexpr double area = 1.2e-3;
constexpr double of_flow = 1e-6;
const std::vector<double> ratios = {0.05, 0.1, 0.2, 0.4, 0.6, 0.8, 0.9, 0.95, 0.99, 0.999};
const std::vector<double> pressures = {
    0.99999, 0.9999, 0.999, 0.99, 0.95, 0.9, 0.8, 0.7, 0.6, 0.55, 0.53, 0.5, 0.4, 0.2};

using Laws = ends::Relations<double, laws::DuctFlow, laws::OrificeFunction>;

Laws laws_of(double gamma) {
    return {gas::perfect_gas(gamma), laws::DuctFlow(gamma), laws::OrificeFunction(gamma)};
}

ends::DuctEnd<double> face(const ref::Duct& d) {
    return {d.rho, d.v, d.p / d.rho, d.p, 1.0, d.area};
}

void same(const ends::Crossing<double>& ours, const ref::Duct& steady) {
    const double sound = std::sqrt(1.4 * steady.p / steady.rho);
    const double sonic = sound * steady.rho * steady.area;
    CHECK(ours.mass == near(steady.rho * steady.v * steady.area, of_flow, 1e-9 * sonic));
    // The flow is flat over Mach number at 1: 1e-9 of flow is 3e-5 of the Mach number there.
    const double of_state = std::abs(steady.v) > 0.95 * sound ? 1e-4 : of_flow;
    CHECK(ours.pressure == near(steady.p, of_state));
    CHECK(ours.rho == near(steady.rho, of_state));
}

}  // namespace

TEST_CASE("duct ends: out through valve, throttle and exit, exact in steady flow") {
    for (const double gamma : {1.33, 1.4}) {
        const ref::Gas gas{gamma};
        const Laws laws = laws_of(gamma);
        for (const double ratio : ratios) {
            for (const double r : pressures) {
                CAPTURE(gamma);
                CAPTURE(ratio);
                CAPTURE(r);
                const double mach = ref::mach_before(gas, ratio, r);
                const ref::Duct d = ref::at_mach(gas, 2e5, rt, -mach, area);
                const ref::Reservoir s = ref::reservoir(gas, r * 2e5, rt);
                const ends::OutsideGas<double> outside{s.p, s.rt, s.h, 0.0};
                same(ends::opening_end(face(d), laws, ratio * area, outside), d);
                same(ends::exit_end(face(d), laws, 1.0 / (ratio * ratio), outside), d);
            }
        }
        const ref::Duct sonic = ref::at_mach(gas, 2e5, rt, -1, area);
        const ends::OutsideGas<double> low{0.3 * 2e5, rt, rt / gas.k(), 0.0};
        for (const double wide : {1.0, 1.2, 3.0}) {
            same(ends::opening_end(face(sonic), laws, wide * area, low), sonic);
        }
    }
}

TEST_CASE("duct ends: in through valve and throttle, exact in steady flow") {
    for (const double gamma : {1.33, 1.4}) {
        const ref::Gas gas{gamma};
        const Laws laws = laws_of(gamma);
        for (const double hot : {1.0, 2.0}) {  // R T and enthalpy of another gas
            const ref::Reservoir s{3e5, 1.05 * hot * rt, hot * rt / gas.k()};
            const ends::OutsideGas<double> outside{s.p, s.rt, s.h, 0.0};
            for (const double ratio : ratios) {
                for (const double r : pressures) {
                    CAPTURE(gamma);
                    CAPTURE(ratio);
                    CAPTURE(r);
                    const ref::Duct d = ref::steady_behind(gas, ratio, s, r * s.p, area);
                    same(ends::opening_end(face(d), laws, ratio * area, outside), d);
                }
            }
        }
    }
}

TEST_CASE("duct ends: in through a restrictor whose diffuser gives pressure back") {
    for (const double gamma : {1.33, 1.4}) {
        const ref::Gas gas{gamma};
        const Laws laws = laws_of(gamma);
        const ref::Reservoir s = ref::reservoir(gas, 1e5, rt);
        const ends::OutsideGas<double> outside{s.p, s.rt, s.h, 0.0};
        for (const double ratio : {0.01, 0.05, 0.1, 0.2, 0.4}) {
            for (const double recovery : {0.3, 0.6, 0.8}) {
                for (const double r : {0.9999, 0.999, 0.99, 0.95, 0.92, 0.9, 0.88, 0.8, 0.6, 0.3}) {
                    CAPTURE(gamma);
                    CAPTURE(ratio);
                    CAPTURE(recovery);
                    CAPTURE(r);
                    // p_duct = p_throat + recovery (p0 - p_throat)
                    const double throat = (r - recovery) / (1 - recovery);
                    const double g = ref::orifice(gas, ratio, s.p, s.rt, throat * s.p);
                    const ref::Duct d = ref::entered(gas, g, s.h, r * s.p, area);
                    same(ends::opening_end(
                             face(d), laws, ratio * area, outside, 1.0 / (1.0 - recovery)),
                         d);
                }
            }
        }
    }
}

TEST_CASE("duct ends: mouths and open ends, in with loss and out, exact in steady flow") {
    for (const double gamma : {1.33, 1.4}) {
        const ref::Gas gas{gamma};
        const Laws laws = laws_of(gamma);
        const ref::Reservoir room = ref::reservoir(gas, 1e5, rt);
        const ends::OutsideGas<double> outside{room.p, room.rt, room.h, 0.0};
        for (const double mach : {0.0001, 0.001, 0.01, 0.1, 0.3, 0.6, 0.9, 0.99, 1.0}) {
            CAPTURE(gamma);
            CAPTURE(mach);
            const double w = ref::at_mach(gas, 1, rt, mach, 1).v;
            for (const double loss : {0.0, 0.05, 0.5, 1.0, 4.0}) {
                CAPTURE(loss);
                const ref::Duct in = ref::entry_state(gas, room.p, room.h, loss, w, area);
                const auto f = face(in);
                same(ends::entry(f, laws, ends::arriving_wave(f, laws), room.p, room.h, 0.0, loss),
                     in);
                if (loss >= 1) {
                    same(ends::exit_end(f, laws, loss, outside), in);
                }
            }
            const double p0 = room.p / ref::at_mach(gas, 1, 1, mach, 1).p;
            const ref::Duct out = ref::at_mach(gas, p0, rt, -mach, area);
            const auto f = face(out);
            same(ends::entry(f, laws, ends::arriving_wave(f, laws), room.p, room.h, 0.0, 0.5), out);
            same(ends::exit_end(f, laws, 1.0, outside), out);
        }
        const ref::Duct sonic = ref::at_mach(gas, 4e5, rt, -1, area);
        same(ends::exit_end(face(sonic), laws, 1.0, outside), sonic);
        const ref::Duct fast = ref::at_mach(gas, 4e5, rt, -1.4, area);
        same(ends::exit_end(face(fast), laws, 1.0, outside), fast);
    }
}

TEST_CASE("duct ends: flow and velocity pass through zero without a step or a kink") {
    const double gamma = 1.4;
    const Laws laws = laws_of(gamma);
    const double p = 1e5;
    const ends::DuctEnd<double> f{p / rt, 0.0, rt, p, 1.0, area};
    const double impedance = std::sqrt(gamma / rt);  // of mass flow per area and pressure
    for (const double ratio : {0.05, 0.5, 1.0}) {
        CAPTURE(ratio);
        for (const double step : {1e-6, 1e-7}) {
            const auto at = [&](double x) {
                const ends::OutsideGas<double> s{p * (1.0 + x), rt, 3.5 * rt, 1.0};
                return ends::opening_end(f, laws, ratio * area, s).velocity;
            };
            // Near zero the wave alone rules: the same slope on both sides.
            const double slope = rt * impedance / gamma;
            CHECK(at(step) == near(slope * step, 2e-2));
            CHECK(at(-step) == near(-slope * step, 2e-2));
        }
    }
}

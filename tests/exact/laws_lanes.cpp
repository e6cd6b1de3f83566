#include <doctest/doctest.h>

#include <array>
#include <cstddef>

#include "solver/arithmetic/real.hpp"
#include "solver/gas/cylinder_gas.hpp"
#include "solver/gas/transport.hpp"
#include "solver/laws/friction.hpp"
#include "solver/laws/heat.hpp"
#include "solver/laws/orifice.hpp"
#include "solver/laws/slot_edge.hpp"
#include "solver/laws/tee.hpp"
#include "solver/laws/wiebe.hpp"

/// Laws must take any real type: here four lanes that are blended, never branched on.
namespace lanes {

struct Mask {
    std::array<bool, 4> on{};
};

struct Real {
    std::array<double, 4> at{};

    Real() = default;
    explicit Real(double value) { at.fill(value); }
    Real(double a, double b, double c, double d) : at{a, b, c, d} {}
};

template <class Function>
Real each(const Real& a, const Real& b, Function&& f) {
    Real result;
    for (std::size_t i = 0; i < 4; ++i) result.at[i] = f(a.at[i], b.at[i]);
    return result;
}

template <class Function>
Mask compare(const Real& a, const Real& b, Function&& f) {
    Mask result;
    for (std::size_t i = 0; i < 4; ++i) result.on[i] = f(a.at[i], b.at[i]);
    return result;
}

Real operator+(const Real& a, const Real& b) {
    return each(a, b, [](double x, double y) { return x + y; });
}
Real operator-(const Real& a, const Real& b) {
    return each(a, b, [](double x, double y) { return x - y; });
}
Real operator*(const Real& a, const Real& b) {
    return each(a, b, [](double x, double y) { return x * y; });
}
Real operator/(const Real& a, const Real& b) {
    return each(a, b, [](double x, double y) { return x / y; });
}
Real operator-(const Real& a) {
    return each(a, a, [](double x, double) { return -x; });
}
Mask operator<(const Real& a, const Real& b) {
    return compare(a, b, [](double x, double y) { return x < y; });
}
Mask operator>(const Real& a, const Real& b) {
    return compare(a, b, [](double x, double y) { return x > y; });
}
Real select(const Mask& mask, const Real& a, const Real& b) {
    Real result;
    for (std::size_t i = 0; i < 4; ++i) result.at[i] = mask.on[i] ? a.at[i] : b.at[i];
    return result;
}
Real min(const Real& a, const Real& b) {
    return each(a, b, plenair::arithmetic::min);
}
Real max(const Real& a, const Real& b) {
    return each(a, b, plenair::arithmetic::max);
}
Real pow(const Real& a, const Real& b) {
    return each(a, b, plenair::arithmetic::pow);
}
Real sqrt(const Real& a) {
    return each(a, a, [](double x, double) { return plenair::arithmetic::sqrt(x); });
}
Real reciprocal_sqrt(const Real& a) {
    return each(a, a, [](double x, double) { return plenair::arithmetic::reciprocal_sqrt(x); });
}
Real exp(const Real& a) {
    return each(a, a, [](double x, double) { return plenair::arithmetic::exp(x); });
}
Real log(const Real& a) {
    return each(a, a, [](double x, double) { return plenair::arithmetic::log(x); });
}

}  // namespace lanes

namespace {

using lanes::Real;
using namespace plenair;

/// f of four numbers at once equals f of each, bit for bit.
template <class Function>
bool same(const Real& x, Function&& f) {
    const Real together = f(x);
    bool equal = true;
    for (std::size_t i = 0; i < 4; ++i) equal = equal && together.at[i] == f(x.at[i]);
    return equal;
}

}  // namespace

TEST_CASE("lanes: the orifice law gives each lane the bits of a single number") {
    const laws::OrificeFunction f(1.38);
    const Real x(0.0, 0.013, 0.3, 0.8);
    CHECK(same(x, [&](auto v) { return f.flow_factor(v); }));
    const Real p2(1.2e5, 1.0e5, 0.9e5, 0.3e5);
    CHECK(same(p2, [&](auto v) {
        using R = decltype(v);
        return laws::orifice_mass_flow(f, R(1e-4), R(1e5), R(86e3), v, R(90e3));
    }));
}

TEST_CASE("lanes: slot and tee laws") {
    const auto slot = laws::SlotDischarge::correlation(0.7, 0.05, 5e4);
    const Real x(0.0, 0.05, 0.4, 0.95);
    CHECK(same(x, [&](auto v) { return slot.cd_squared(v); }));
    CHECK(same(x, [&](auto v) { return slot.cd_squared(v, decltype(v)(2e4)); }));
    CHECK(same(x, [](auto v) {
        using R = decltype(v);
        return laws::gardel_branch_heads(R(0.3), R(0.8), R(30.0) * v, R(25.0), R(1.1)).entry;
    }));
    CHECK(same(x, [](auto v) {
        using R = decltype(v);
        return laws::gardel_branch_heads(R(0.3), R(0.8), R(30.0) * v, R(25.0), R(1.1)).lost;
    }));
    CHECK(same(x, [](auto v) {
        using R = decltype(v);
        return laws::gardel_run_head(R(40.0), R(40.0) * v);
    }));
}

TEST_CASE("lanes: friction and heat laws") {
    const laws::FrictionFit rough(1e-3);
    const laws::FrictionFit fixed = laws::FrictionFit::constant(0.02);
    const laws::Gnielinski heat(0.71);
    const Real re(0.0, 1500.0, 3100.0, 2e5);
    const auto factor = [](const laws::FrictionFit& fit, auto v) {
        return laws::FrictionFit::parts_of(fit.turbulent, decltype(v)(fit.laminar), v).factor;
    };
    CHECK(same(re, [&](auto v) { return factor(rough, v); }));
    CHECK(same(re, [&](auto v) { return factor(fixed, v); }));
    CHECK(same(re, [&](auto v) { return heat.nusselt(v, decltype(v)(0.03)); }));
}

TEST_CASE("lanes: gas and cylinder laws") {
    const gas::CylinderGas gas(gas::dry_air(), gas::burned_products(gas::Fuel{}, gas::dry_air()));
    const Real t(190.0, 300.0, 1234.0, 3700.0);
    CHECK(same(t, [&](auto v) { return gas.energy(v, decltype(v)(0.3)); }));
    CHECK(same(t, [&](auto v) { return gas.gamma(v, decltype(v)(0.3)); }));
    CHECK(same(t, [&](auto v) {
        using R = decltype(v);
        return gas.temperature(gas.energy(v, R(0.3)), R(0.3));
    }));
    CHECK(same(t, [](auto v) { return gas::viscosity(v); }));
    const Real y(-0.1, 0.2, 0.7, 1.1);
    CHECK(same(y, [](auto v) { return laws::wiebe(v, decltype(v)(5.0), decltype(v)(2.0)); }));
    CHECK(same(y, [](auto v) { return laws::wiebe_rate(v, decltype(v)(5.0), decltype(v)(2.0)); }));
}

#include <doctest/doctest.h>

#include "geometry/contract.hpp"
#include "geometry/table.hpp"
#include "solver/cylinder/crank_table.hpp"
#include "solver/march/cycle_map.hpp"
#include "solver/network/builder.hpp"
#include "solver/network/right_hand_side.hpp"
#include "tests/support/engine.hpp"

#include <functional>
#include <stdexcept>
#include <string>

using namespace plenair;

namespace {

int asked = 0;

/// Not a constant expression.
bool ask(bool answer) {
    ++asked;
    return answer;
}

/// What is thrown for a broken contract; empty: nothing.
std::string broken(const std::function<void()>& call) {
    try {
        call();
    } catch (const std::logic_error& e) {
        return e.what();
    }
    return "";
}

#if defined(PLENAIR_CONTRACTS)

struct Marched {
    Case c = test::shipped(test::hill_climb);
    Network network = build_engine(c.intake, c.engine, c.points.front(), c.model);
    Marched() { network.crank = make_crank_table(c.engine, c.points.front(), 1e-4); }
};

#else

// All that is left of a condition in a build without contracts is that it must compile: one that is
// no constant may stand in a constant expression.
constexpr int after_a_condition() {
    PLENAIR_EXPECT(ask(false));
    return 1;
}
static_assert(after_a_condition() == 1);

#endif

}  // namespace

TEST_CASE("contract: costs nothing where contracts are off, names condition and place where on") {
    asked = 0;
    const std::string what = broken([] { PLENAIR_EXPECT(ask(false) || ask(false)); });
#if defined(PLENAIR_CONTRACTS)
    CHECK(asked == 2);
    CHECK(what.find("broken contract: ask(false) || ask(false) (") == 0);
    CHECK(what.find("tests/exact/contracts.cpp:") != std::string::npos);
    CHECK(broken([] { PLENAIR_EXPECT(ask(true)); }).empty());
#else
    CHECK(asked == 0);
    CHECK(what.empty());
#endif
}

#if defined(PLENAIR_CONTRACTS)

TEST_CASE("contract: a table out of order is refused, which would give a number of no meaning") {
    const geometry::CdTable table{{0.0, 0.2, 0.1}, {0.5, 0.6, 0.7}};
    CHECK(broken([&] { (void)geometry::interpolate(table, 0.05); }).find("is_sorted") !=
          std::string::npos);
}

TEST_CASE("contract: a throttle without a bore is refused") {
    CHECK(broken([] { (void)geometry::Throttle{}.effective_area(0.3); }).find("bore > 0") !=
          std::string::npos);
}

TEST_CASE("contract: a network that does not hang together is refused by whoever marches it") {
    const Marched whole;
    CHECK(broken([&] { RightHandSide rhs(whole.network); }).empty());
    const auto spoiled = [&](const std::function<void(Network&)>& spoil) {
        Network n = whole.network;
        spoil(n);
        return !broken([&] { RightHandSide rhs(n); }).empty();
    };
    CHECK(spoiled([](Network& n) { n.volume.pop_back(); }));
    CHECK(spoiled([](Network& n) { n.face_area[3] = 0.0; }));
    CHECK(spoiled([](Network& n) { n.chains.back().first += 1; }));
    CHECK(spoiled([](Network& n) { n.valves.back().cylinder = n.layout.cylinders; }));
    CHECK(spoiled([](Network& n) { std::swap(n.valves.front().chain, n.valves.back().chain); }));
    CHECK(spoiled([](Network& n) { n.mouths.front().plenum.weight.pop_back(); }));
    CHECK(spoiled([](Network& n) { n.mouths.front().chain = -1; }));
    CHECK(spoiled([](Network& n) { n.passages.front().discharge = 1000; }));
    CHECK(spoiled([](Network& n) { n.passages.pop_back(); }));
    CHECK(spoiled([](Network& n) { n.crank.burn.pop_back(); }));
    CHECK(spoiled([](Network& n) { n.crank.step.front() = 0.0; }));
    CHECK(spoiled([](Network& n) { n.gas.gamma = 1.3; }));
}

TEST_CASE("contract: a state of another network and a time outside the step are refused") {
    const Marched whole;
    const Network& n = whole.network;
    std::vector<double> state = initial_state(n);
    std::vector<double> rate(state.size());
    RightHandSide rhs(n);
    const double length = n.crank.step.back();
    const int last = static_cast<int>(n.crank.step.size()) - 1;
    rhs.begin_step(last, 0.0, length);
    CHECK(broken([&] { rhs(state, rate, length); }).empty());
    CHECK(!broken([&] { rhs(state, rate, 1.5 * length); }).empty());
    state.pop_back();
    CHECK(!broken([&] { rhs(state, rate, 0.0); }).empty());
    CycleMap map(n);
    const auto trapped = trapped_steps(whole.c.engine, whole.c.points.front(), n.crank);
    CHECK(!broken([&] { (void)map.march(state, trapped); }).empty());
}

#endif

#include <doctest/doctest.h>

#include "cases/study/solve.hpp"
#include "tests/support/engine.hpp"
#include "tests/support/near.hpp"

#include <cmath>
#include <map>

// The grid at its default must not matter: cells of half the length move no cylinder's bias by more
// than 0.1 % of air.
using namespace plenair;

namespace {

std::map<std::string, PointResult> solve_all(const Case& c) {
    std::map<std::string, PointResult> results;
    SolveOptions options;
    options.bands = false;
    for (auto& r : solve(c, options).points) {
        results[r.name] = r;
    }
    return results;
}

double largest_move(const PointResult& a, const PointResult& b) {
    double largest = 0.0;
    for (std::size_t i = 0; i < a.cylinders.size(); ++i) {
        largest = std::max(largest, std::abs(a.cylinders[i].bias - b.cylinders[i].bias));
    }
    return largest;
}

void check_refined(const std::string& name, const std::string& what, Model (*refine)(Model)) {
    Case c = test::shipped(name);
    const auto base = solve_all(c);
    c.model = refine(c.model);
    const auto fine = solve_all(c);
    for (const auto& entry : base) {
        const std::string& point = entry.first;
        const PointResult& r = entry.second;
        const PointResult& f = fine.at(point);
        CAPTURE(name);
        CAPTURE(point);
        REQUIRE_MESSAGE(r.converged, r.failure);
        REQUIRE_MESSAGE(f.converged, f.failure);
        const double move = largest_move(r, f);
        CHECK(move <= 0.001);
        CHECK(f.air_flow == near(r.air_flow, 0.005));
        std::string figure = c.title;
        figure.append(", ").append(point).append(": largest move of a bias with ").append(what);
        test::record(figure, "Own computation", move, 0.0, "0.001");
    }
}

Model half_cells(Model m) {
    m.refinement *= 2.0;
    return m;
}

}  // namespace

TEST_CASE("grid: cells of half the length move no bias of the hill-climb four by 0.1 %") {
    check_refined(test::hill_climb, "cells of half the length", half_cells);
}
TEST_CASE("grid: cells of half the length move no bias of the marine six by 0.1 %") {
    check_refined(test::marine_log, "cells of half the length", half_cells);
}
TEST_CASE("grid: cells of half the length move no bias of the V6 bank by 0.1 %") {
    check_refined(test::v6_bank, "cells of half the length", half_cells);
}

#include <doctest/doctest.h>

#include <fmt/format.h>

#include <cmath>
#include <cstddef>
#include <string>
#include <vector>

#include "cases/file/read.hpp"
#include "tests/support/by_program.hpp"
#include "tests/support/engine.hpp"
#include "tests/support/near.hpp"
#include "tests/support/reference_case.hpp"

// The product held against a second solver of the same laws (tests/reference): MUSCL-Hancock with
// HLLC instead of unlimited fifth order with a low-dissipation flux, ends by bracketing instead of
// fixed passes, plain cycles instead of Anderson's acceleration, no line in common.

using namespace plenair;

namespace {

constexpr double bias_allowed = 1e-3, air_allowed = 5e-3;

struct Row {
    std::string engine;
    double rpm;
    bool motored;
};

void compare(const Row& row) {
    CAPTURE(row.engine);
    CAPTURE(row.rpm);
    CAPTURE(row.motored);
    std::vector<std::string> sets{fmt::format("point.P.speed={} rpm", row.rpm)};
    if (row.motored) {
        sets.emplace_back("combustion.motored=on");
    }
    sets.emplace_back("model.cells=fine");
    sets.emplace_back("model.max_cycles=400");  // one cylinder on fine cells forgets slowly
    const std::string text = test::reference_engine_text(row.engine);
    const Case c = parse_case(text, row.engine + ".toml", sets);
    const OperatingPoint& point = c.points.front();
    reference::ReferenceOptions cells;
    // Waves of ten thousand revolutions and more are steeper.
    cells.runner_cell = cells.chamber_cell = row.rpm > 11000 ? 0.006 : 0.008;
    const auto theirs = reference::solve_reference(test::reference_spec(c, point), cells);
    REQUIRE(theirs.repeats);
    CHECK(std::abs(theirs.mass_error) < 1e-12);
    const SolveResult solved = test::solve_of(text, sets);
    REQUIRE(solved.points.size() == 1);
    const PointResult& ours = solved.points.front();
    REQUIRE_MESSAGE(ours.converged, ours.failure);
    double air = 0;
    double worst = 0;
    std::size_t furthest = 0;
    const std::vector<double> bias = theirs.bias();
    for (std::size_t i = 0; i < bias.size(); ++i) {
        CAPTURE(i);
        air += ours.cylinders[i].air_delivered;
        if (std::abs(ours.cylinders[i].bias - bias[i]) >= std::abs(worst)) {
            worst = ours.cylinders[i].bias - bias[i];
            furthest = i;
        }
        CHECK(ours.cylinders[i].bias == near(bias[i], 0, bias_allowed));
        CHECK(ours.cylinders[i].residual_fraction == near(theirs.residual[i], 0, 1e-3));
    }
    CHECK(air == near(theirs.air(), air_allowed));
    const std::string name = fmt::format(
        "Second solver: {}, {} at {} rpm", row.engine, row.motored ? "motored" : "fired", row.rpm);
    test::record(name + ", air [g/cycle]", "", 1e3 * air, 1e3 * theirs.air(), "0.5 %");
    if (bias.size() > 1) {
        test::record(name + ", bias of the cylinder that is furthest off [%]",
                     "",
                     100 * (bias[furthest] + worst),
                     100 * bias[furthest],
                     "0.1");
    }
}

}  // namespace

TEST_CASE("second solver: one cylinder on a log") {
    compare({"one", 3000, false});
    compare({"one", 6500, true});
    compare({"one", 12000, false});
}

TEST_CASE("second solver: four cylinders behind a slot") {
    compare({"four", 2000, true});
    compare({"four", 2500, false});
    compare({"four", 6000, false});
    compare({"four", 8000, true});
    compare({"four", 10000, false});
    compare({"four", 12000, true});
}

TEST_CASE("second solver: five cylinders behind a slot, fed at the side") {
    compare({"five", 3000, false});
    compare({"five", 6000, true});
    compare({"five", 8000, false});
    compare({"five", 10000, true});
    compare({"five", 12000, false});
}

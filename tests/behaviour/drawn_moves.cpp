#include "cases/study/drawn_moves.hpp"
#include "cases/file/read.hpp"
#include "cases/study/case.hpp"
#include "geometry/runner_metal.hpp"
#include "tests/support/layouts.hpp"
#include "tests/support/near.hpp"

#include <doctest/doctest.h>

#include <fmt/format.h>
#include <algorithm>
#include <string>
#include <vector>

// A lever is the entry that it is named after: five percent more of it by the study is the case
// read with five percent more of it.
namespace {

using plenair::Case;
using plenair::geometry::Intake;

const Intake& moved(const std::vector<plenair::study::DrawnMove>& moves, const std::string& key) {
    const auto found =
        std::find_if(moves.begin(), moves.end(), [&](const auto& m) { return m.key == key; });
    REQUIRE(found != moves.end());
    return found->intake;
}

void check_runners(const Intake& found, const Intake& expected) {
    for (std::size_t b = 0; b < expected.banks.size(); ++b) {
        for (std::size_t i = 0; i < expected.banks[b].runners.size(); ++i) {
            const auto& a = found.banks[b].runners[i];
            const auto& e = expected.banks[b].runners[i];
            CHECK(a.length == near(e.length, 1e-12));
            for (double part = 0.005; part < 1; part += 0.0101) {
                CAPTURE(part);
                CHECK(a.diameter.at(part * e.length) == near(e.diameter.at(part * e.length), 1e-4));
            }
        }
    }
}

}  // namespace

TEST_CASE("levers: a runner's bore and length leave the head's port as it is") {
    for (const std::string name : {"hill-climb-four/case.toml", "v6-bank/case.toml"}) {
        CAPTURE(name);
        const auto path = "cases/shipped/" + name;
        const Case c = plenair::read_case(path, {});
        const auto& runner = c.intake.banks[0].runners[0];
        const double flange = plenair::geometry::flange_length(runner);
        REQUIRE(runner.port_length > 0);
        const auto moves = plenair::study::drawn_moves(c.intake, 0.05, {});
        const auto wide = plenair::read_case(
            path,
            {fmt::format("runner.diameter={{ start = \"{} mm\", end = \"{} mm\" }}",
                         1050 * runner.mouth_diameter(),
                         1050 * runner.diameter.at(flange))});
        check_runners(moved(moves, "runner.diameter"), wide.intake);
        CHECK(moved(moves, "runner.diameter").banks[0].runners[0].diameter.at(runner.length) ==
              near(runner.diameter.at(runner.length), 1e-12));
        const auto longer =
            plenair::read_case(path, {fmt::format("runner.length={} mm", 1050 * flange)});
        check_runners(moved(moves, "runner.length"), longer.intake);
    }
}

TEST_CASE("levers: holes have their own") {
    const auto moves =
        plenair::study::drawn_moves(plenair::test::layout("six-holes").intake, 0.05, {});
    CHECK(std::any_of(moves.begin(), moves.end(), [](const auto& m) {
        return m.key == "slot.holes.diameter" || m.key == "slot.holes.width";
    }));
}

#include "cases/live/answer.hpp"
#include "cases/study/solve.hpp"
#include "solver/network/cell_loops.hpp"
#include "tests/support/engine.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

using namespace plenair;

namespace {

const std::vector<std::string> case_paths = {"hill-climb-four/case.toml",
                                             "v6-bank/case.toml",
                                             "marine-six/log.toml",
                                             "marine-six/big-log.toml",
                                             "marine-six/two-chamber.toml"};

/// Imposes a set of instructions while it lives.
class Imposed final {
public:
    explicit Imposed(const CellLoops* set) { impose_cell_loops(set); }
    ~Imposed() { impose_cell_loops(nullptr); }
    Imposed(const Imposed&) = delete;
    Imposed& operator=(const Imposed&) = delete;
    Imposed(Imposed&&) = delete;
    Imposed& operator=(Imposed&&) = delete;
};

std::string digest(const Case& c, const CellLoops* set) {
    const Imposed imposed(set);
    SolveOptions options;
    options.traces = true;
    return bits_digest(solve(c, options).points);
}

}  // namespace

TEST_CASE("same bits: all points of the shipped cases, with and without vector units") {
    for (const auto& name : case_paths) {
        CAPTURE(name);
        const Case c = test::shipped(name);
        const std::string plain = digest(c, generic_cell_loops());
        for (const CellLoops* set : {avx2_cell_loops(), avx512_cell_loops()}) {
            if (set == nullptr) {
                MESSAGE("an instruction set is missing here and was not compared");
                continue;
            }
            CAPTURE(set->name);
            CHECK(digest(c, set) == plain);
        }
    }
}

TEST_CASE("same bits: the digest sees the last bit of any number") {
    Case c = test::shipped(case_paths.front());
    c.points.resize(1);
    auto points = solve(c, {}).points;
    const std::string before = bits_digest(points);
    double& share = points.at(0).cylinders.at(3).share;
    share = std::nextafter(share, 1.0);
    CHECK(bits_digest(points) != before);
}

#include "tests/support/run_process.hpp"
#include "tests/support/sweep_case.hpp"
#include "tests/support/swept.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>

namespace {

using plenair::test::Swept;

constexpr int cylinders = 4;

double bias(const Swept& swept, std::size_t row, int cylinder) {
    const auto name = "cylinder_" + std::to_string(cylinder) + "_share_ratio";
    return cylinders * swept.number(row, name) - 1.0;
}

}  // namespace

// As it is used: the grid, the tolerance and the starts that a sweep has by default. Both
// precisions take the same steps and stop where the rest is worth less than what is checked.
TEST_CASE("sweep: biases in single precision are those in double to 0.01 %") {
    const std::string text =
        read_text(std::string(PLENAIR_SOURCE_DIR) + "/cases/shipped/hill-climb-four/case.toml") +
        "[sweep]\n\"slot.width\" = { from = \"3 mm\", to = \"10 mm\", steps = 36 }\n";
    const Swept full(text);
    const Swept single(text, "single");
    constexpr std::size_t rows = 36 * 5;
    REQUIRE(full.count() == rows);
    REQUIRE(single.count() == rows);
    double largest = 0.0;
    for (std::size_t row = 0; row < rows; ++row) {
        for (int c = 1; c <= cylinders; ++c) {
            largest = std::max(largest, std::abs(bias(single, row, c) - bias(full, row, c)));
        }
    }
    CHECK(largest < 1e-4);
    // Not the same lanes by mistake.
    CHECK(largest > 0.0);
}

TEST_CASE("sweep: what single precision leaves to doubles is counted and said") {
    const auto points_in_double = [](int widths) {
        const ScratchFolder scratch;
        const auto path =
            scratch.write("case.toml",
                          plenair::test::sweep_case(
                              "\"slot.width\" = { from = \"5 mm\", to = \"7 mm\", steps = " +
                              std::to_string(widths) + " }\n"));
        const auto run = run_plenair({"sweep",
                                      path,
                                      "--folder",
                                      scratch.path("store"),
                                      "--precision",
                                      "single",
                                      "--csv",
                                      scratch.path("rows.csv"),
                                      "--json"});
        CAPTURE(run.err);
        REQUIRE(run.status == 0);
        return nlohmann::json::parse(run.out).at("points_in_double").get<int>();
    };
    // Two are done sooner by themselves than in lanes that stay empty.
    CHECK(points_in_double(2) == 2);
    CHECK(points_in_double(12) == 0);
}

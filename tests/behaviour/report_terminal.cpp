#include "cases/report/terminal.hpp"
#include "tests/support/sample_results.hpp"

#include <doctest/doctest.h>

#include <string>

using namespace plenair;

namespace {

bool says(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("terminal: bias has a sign and one decimal") {
    SolveResult result = test::sample_solve();
    result.points[0].cylinders[0].bias = 0.0123;
    result.points[0].cylinders[1].bias = -0.0123;

    const std::string text = terminal_text(result, false);

    CHECK(says(text, "+1.2"));
    CHECK(says(text, "-1.2"));
    CHECK_FALSE(says(text, "1.23"));
}

TEST_CASE("terminal: a bias that rounds to nothing has no minus") {
    SolveResult result = test::sample_solve();
    result.points[0].end_bias = -0.0001;

    CHECK(says(terminal_text(result, false), "end bias     0.0 %"));
}

TEST_CASE("terminal: air, losses and balances of a point are shown in trade units") {
    const std::string text = terminal_text(test::sample_solve(), false);

    CHECK(says(text, "A4: 8600 rpm, 250.0 kPa abs, 322.0 K"));
    CHECK(says(text, "1210.0"));  // 0.00121 kg
    CHECK(says(text, "350.0 g/s (46.3 lb/min)"));  // 0.35 x 60 / 0.45359237 = 46.297
    CHECK(says(text, "slot 5.00 kPa (2.0 %)"));  // of 250 kPa
    CHECK(says(text, "mass 3.3e-13"));
    CHECK(says(text, "The spread stays within 2.0 % at the one point that stands"));
}

TEST_CASE("terminal: a difference inside the band is said to be inside it") {
    SolveResult result = test::sample_solve();

    const std::string inside = terminal_text(result, false);
    result.points[0].bias_band = 0.01;
    const std::string outside = terminal_text(result, false);

    CHECK(says(inside, "spread       1.5 % (inside the band)"));
    CHECK(says(outside, "spread       1.5 % (outside the band)"));
}

TEST_CASE("terminal: a point that did not converge shows its failure and no shares") {
    const std::string text = terminal_text(test::sample_solve(), false);

    CHECK(says(text, "did not converge: residual 0.02 after 3 cycles, 1e-06 wanted"));
    CHECK(says(text, "no shares are given"));
    CHECK_FALSE(says(text, "77.7"));
    CHECK_FALSE(says(text, "55.4"));
}

TEST_CASE("terminal: model limits and cautions stand in every distribution report") {
    for (const auto& text :
         {terminal_text(test::sample_solve(), false), terminal_text(test::sample_bench(), false)}) {
        CHECK(says(text, "Model limits: Against measurements stand parts only"));
        CHECK(says(text, "have not been compared with any"));
        CHECK(says(text, "plenair fit"));
        CHECK_FALSE(says(text, "against hardware"));
        CHECK(says(text, "Local codes"));
        CHECK(says(text, "licensed"));
    }
}

TEST_CASE("terminal: colour codes appear only when asked for") {
    CHECK_FALSE(says(terminal_text(test::sample_solve(), false), "\033["));
    CHECK(says(terminal_text(test::sample_solve(), true), "\033["));
}

TEST_CASE("terminal: bench states depression, density, flow and CFM with its density") {
    const std::string text = terminal_text(test::sample_bench(), false);

    CHECK(says(text, "6972.9"));
    CHECK(says(text, "27.99"));  // 6972.9 / 249.0889
    CHECK(says(text, "254.1"));
    CHECK(says(text, "447.1"));  // 0.2541 / 1.2041 / 4.719474e-4 = 447.15
    CHECK(says(text, "33.61"));  // 0.2541 x 60 / 0.45359237
    CHECK(says(text, "0.875"));
    CHECK(says(text, "2328.0"));
    CHECK(
        says(text,
             "0.8167 at x = 0, the fed end; 1.1833 at the far end, the closed end; spread 36.7 %"));
    CHECK(says(text, "spread of the runners 2.0 %"));
    CHECK(says(text, "no flow is given"));
    CHECK_FALSE(says(text, "77.7"));
}

TEST_CASE("terminal: check shows derived numbers in trade units") {
    CheckResult check;
    check.title = "x";
    check.numbers = {{"plenum.volume", "volume of the plenum", "m3", 0.00256},
                     {"slot.m", "header number", "1", 0.25}};
    check.warnings = {"end clearance under half a bore"};
    check.echo = {"slot.width = 6 mm (0.2362 in)"};

    const std::string text = terminal_text(check, false);

    CHECK(says(text, "volume of the plenum  2.56 L"));
    CHECK(says(text, "header number         0.25"));
    CHECK(says(text, "warning: end clearance under half a bore"));
    CHECK(says(text, "slot.width = 6 mm (0.2362 in)"));
}

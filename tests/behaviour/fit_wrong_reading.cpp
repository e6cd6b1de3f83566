#include "cases/file/measured.hpp"
#include "cases/file/read.hpp"
#include "cases/study/fit.hpp"
#include "tests/support/near.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <iterator>
#include <string>

/// One wrong reading of the bench among the made-up readings of the V6, in which a lambda sensor
/// reads rich: it bends nothing and hides nothing.
namespace {

using plenair::Case;
using plenair::FitResult;

FitResult fitted_with(const std::string& runner_flow) {
    static const Case c = plenair::read_case("cases/shipped/v6-bank/case.toml", {});
    std::ifstream file("cases/shipped/v6-bank/measured.toml");
    std::string text{std::istreambuf_iterator<char>(file), {}};
    text += "\n[[bench]]\nset_up = \"runner\"\nrunner = 3\ndepression = \"6974.49 Pa\"\nflow = \"" +
            runner_flow +
            " g/s\"\ntemperature = \"20 degC\"\nbarometer = \"101.325 kPa abs\"\nuncertainty = \"1 "
            "%\"\n";
    return plenair::fit(c, plenair::parse_measured(text, "m.toml", c), {});
}

bool names(const FitResult& result, const std::string& words) {
    return std::any_of(result.faults.begin(), result.faults.end(), [&](const auto& fault) {
        return fault.named && has(fault.text, words);
    });
}

}  // namespace

TEST_CASE("fit: a wrong bench reading is named, hides no sensor and bends no coefficient") {
    const FitResult good = fitted_with("143.4");
    const FitResult wrong = fitted_with("134.0");
    REQUIRE(good.converged);
    REQUIRE(wrong.converged);
    CHECK(names(good, "cylinder 1: check lambda sensor"));
    CHECK_FALSE(names(good, "does not fit the other readings"));
    CHECK(names(wrong, "cylinder 1: check lambda sensor"));
    CHECK(names(wrong, "runner 3 does not fit the other readings; read it again"));
    for (const auto& entry : wrong.entries) {
        CAPTURE(entry.key);
        CHECK(std::abs(entry.after - entry.before) <= entry.after_half);  // made of the drawing
    }
    REQUIRE(wrong.trims.size() == good.trims.size());
    for (std::size_t i = 0; i < good.trims.size(); ++i) {
        CHECK(wrong.trims[i].trim == near(good.trims[i].trim, 0.0, 0.003));
    }
    CHECK(wrong.splits[0].probability_sensor > 0.5);
}

#include "cases/file/measured.hpp"
#include "cases/file/read.hpp"
#include "cases/study/fit.hpp"
#include "cases/study/solve.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

/// An injector that flows too little, in the V6 whose points all have an open throttle: the answer
/// says that a leak would do the same and what to read, and with that read it is sure.
namespace {

using plenair::Case;
using plenair::FitResult;

constexpr const char* part_throttle = R"(
[[point]]
name = "part"
speed = "3500 rpm"
pressure = "99.0 kPa abs"
temperature = "300 K"
throttle_angle = "17 deg"
exhaust_pressure = "101 kPa abs"
exhaust_temperature = "950 K"
lambda = 0.88
)";

Case v6_with(const std::string& more) {
    std::ifstream file("cases/shipped/v6-bank/case.toml");
    const std::string text{std::istreambuf_iterator<char>(file), {}};
    return plenair::parse_case(text + more, "case.toml", {});
}

/// Lambda of every point with the sensors moved through all cylinders, as predicted but for
/// cylinder 2, which reads 2 % lean.
FitResult fitted(const Case& c) {
    const auto points = plenair::solve(c, {}).points;
    std::string text = "format = 1\n";
    for (std::size_t turn = 0; turn < 3; ++turn) {
        for (const auto& point : points) {
            std::vector<double> lambda;
            std::vector<std::size_t> order;
            for (std::size_t k = 0; k < point.cylinders.size(); ++k) {
                lambda.push_back(0.88 * (1 + point.cylinders[k].bias) * (k == 1 ? 1.02 : 1.0));
                order.push_back((k + turn) % point.cylinders.size() + 1);
            }
            text += fmt::format(
                "[[engine]]\npoint = \"{}\"\nlambda = [{:.4f}]\nlambda_uncertainty = 0.006\n"
                "sensor_order = [{}]\n",
                point.name,
                fmt::join(lambda, ", "),
                fmt::join(order, ", "));
        }
    }
    return plenair::fit(c, plenair::parse_measured(text, "m.toml", c), {});
}

bool asks_for_part_throttle(const FitResult& result) {
    return std::any_of(result.notes.begin(), result.notes.end(), [](const std::string& note) {
        return has(note, "cylinder 2: an injector and a leak behind the plenum act alike");
    });
}

double probability_of(const FitResult& result, plenair::FaultKind kind) {
    for (const auto& fault : result.faults) {
        if (fault.kind == kind && fault.cylinder == 2) {
            return fault.probability;
        }
    }
    return 0;
}

}  // namespace

TEST_CASE(
    "fit: part throttle tells an injector from a leak, and is asked for where it is missing") {
    const FitResult open = fitted(v6_with(""));
    REQUIRE(open.converged);
    CHECK(probability_of(open, plenair::FaultKind::leak) >= 0.05);
    CHECK(asks_for_part_throttle(open));
    const FitResult part = fitted(v6_with(part_throttle));
    REQUIRE(part.converged);
    CHECK(probability_of(part, plenair::FaultKind::injector) > 0.95);
    CHECK(probability_of(part, plenair::FaultKind::leak) < 0.02);
    CHECK_FALSE(asks_for_part_throttle(part));
}

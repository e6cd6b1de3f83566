#include "cases/file/read.hpp"
#include "cases/report/words/numbers.hpp"
#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"
#include "tests/support/run_process.hpp"

#include <fmt/format.h>

#include <string>

// A slot whose width changes along it passes at each place what a slot of that width passes there.

namespace {

/// The insert of the hill-climb four, alone between two still rooms or in front of its runners.
plenair::BenchResult insert(const std::string& width, const std::string& set_up) {
    const std::string path =
        std::string(PLENAIR_SOURCE_DIR) + "/cases/shipped/hill-climb-four/case.toml";
    const auto study = plenair::bench(plenair::parse_case(
        read_text(path),
        "case.toml",
        {"slot.width=" + width, fmt::format("bench.set_ups=[\"{}\"]", set_up)}));
    REQUIRE(study.set_ups.size() == 1);
    REQUIRE_MESSAGE(study.set_ups.front().converged, study.set_ups.front().failure);
    return study.set_ups.front();
}

double ends_ratio(const plenair::BenchResult& result) {
    const auto shape = plenair::slot_shape(result.x, result.flow_per_length);
    REQUIRE(shape.has_value());
    return shape->far_over_mean / shape->start_over_mean;
}

const std::string opening = R"({ x = "0, 388 mm", value = "5.6, 6.4 mm" })";

}  // namespace

TEST_CASE("tapered slot: its ends pass what constant slots of their widths pass") {
    const auto narrow = insert("5.6 mm", "slot"), wide = insert("6.4 mm", "slot");
    const double ratio = wide.flow / narrow.flow;
    CHECK(ratio > 1.1);
    CHECK(ends_ratio(insert(opening, "slot")) == near(ratio, 1e-3));
}

TEST_CASE("tapered slot: in front of the runners it shifts the steady flow by as much") {
    const double straight = ends_ratio(insert("6 mm", "all"));
    const double shifted = ends_ratio(insert(opening, "all"));
    const double alone = ends_ratio(insert(opening, "slot"));
    // What the chamber's pressure does to a slot hardly depends on how its flow is shared out.
    CHECK(shifted == near(straight * alone, 0.01));
}

TEST_CASE(
    "tapered slot: nine stations as measured are taken, and pass what their mean width does") {
    const auto measured = insert(
        R"({ x = "0, 48.5, 97, 145.5, 194, 242.5, 291, 339.5, 388 mm", value = "6.02, 6.01, 6.01, 6.00, 6.01, 6.02, 6.01, 6.01, 6.02 mm" })",
        "slot");
    // Mean of straight lines between the stations.
    const double mean = (6.02 / 2 + 6.01 + 6.01 + 6.00 + 6.01 + 6.02 + 6.01 + 6.01 + 6.02 / 2) / 8;
    CHECK(measured.flow == near(insert(fmt::format("{:.6f} mm", mean), "slot").flow, 1e-4));
}

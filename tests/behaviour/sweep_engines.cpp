#include "tests/support/near.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/sweep_case.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <vector>

namespace {

std::vector<std::string> split(const std::string& text, char separator) {
    std::vector<std::string> parts;
    std::istringstream stream(text);
    for (std::string part; std::getline(stream, part, separator);) {
        parts.push_back(part);
    }
    return parts;
}

std::string lifts(int count) {
    return "\"valve.intake.lift\" = { from = \"9.8 mm\", to = \"10.8 mm\", steps = " +
           std::to_string(count) + " }\n";
}

}  // namespace

// Lanes share their engine: variants whose engines differ are solved one by one, each from where
// the one before came to.
TEST_CASE("sweep: a variant with an engine of its own gets what solve says of it") {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", plenair::test::sweep_case(lifts(3)));
    const auto csv = scratch.path("rows.csv");
    const auto swept =
        run_process(PLENAIR_EXECUTABLE,
                    {"sweep", path, "--folder", scratch.path("store"), "--quiet", "--csv", csv});
    CAPTURE(swept.err);
    REQUIRE(swept.status == 0);
    const auto rows = split(read_text(csv), '\n');
    REQUIRE(rows.size() == 4);
    const auto names = split(rows[0], ',');
    const std::vector<std::string> set{"9.8 mm", "10.3 mm", "10.8 mm"};
    for (std::size_t v = 0; v < set.size(); ++v) {
        CAPTURE(set[v]);
        const auto cells = split(rows[v + 1], ',');
        const auto cell = [&](const std::string& name) {
            const auto at = std::find(names.begin(), names.end(), name) - names.begin();
            return std::stod(cells.at(static_cast<std::size_t>(at)));
        };
        const auto alone = run_process(PLENAIR_EXECUTABLE,
                                       {"solve",
                                        path,
                                        "--set",
                                        "valve.intake.lift=" + set[v],
                                        "--set",
                                        "model.tolerance=1e-6",
                                        "--bands",
                                        "off",
                                        "--json"});
        REQUIRE(alone.status == 0);
        const auto point = nlohmann::json::parse(alone.out).at("points").at(0);
        // Quick cases stop at 1e-3, which is worth 0.2 % of a share.
        CHECK(cell("air_flow_kg_s") == near(point.at("air_flow_kg_s").get<double>(), 2e-3));
        for (std::size_t c = 0; c < 4; ++c) {
            const auto name = "cylinder_" + std::to_string(c + 1) + "_share_ratio";
            const double share = point.at("cylinders").at(c).at("share").get<double>();
            CHECK(cell(name) == near(share, 2e-3));
        }
    }
}

TEST_CASE("sweep: engines too give the same bytes at any number of threads") {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", plenair::test::sweep_case(lifts(40)));
    for (const std::string threads : {"1", "3"}) {
        const auto outcome = run_process(
            PLENAIR_EXECUTABLE,
            {"sweep", path, "--folder", scratch.path(threads), "--threads", threads, "--quiet"});
        CAPTURE(outcome.err);
        REQUIRE(outcome.status == 0);
    }
    CHECK(read_text(scratch.path("1") + "/result.h5") == read_text(scratch.path("3/result.h5")));
}

TEST_CASE("sweep: behind a nearly closed throttle a variant gets what solve says of it") {
    // Slow gas: a cycle forgets little, and a small residual may be far from the answer.
    const ScratchFolder scratch;
    std::string text = plenair::test::sweep_case(
        "\"slot.width\" = { from = \"5 mm\", to = \"7 mm\", steps = 20 }\n");
    text.replace(text.find("tolerance = 1e-3"), 16, "tolerance = 1e-6");
    const auto at = text.find("exhaust_pressure = \"270 kPa abs\"");
    text.insert(at, "throttle_angle = \"10 deg\"\n");
    const auto path = scratch.write("case.toml", text);
    const auto csv = scratch.path("rows.csv");
    const auto swept =
        run_process(PLENAIR_EXECUTABLE,
                    {"sweep", path, "--folder", scratch.path("store"), "--quiet", "--csv", csv});
    CAPTURE(swept.err);
    REQUIRE(swept.status == 0);
    const auto rows = split(read_text(csv), '\n');
    REQUIRE(rows.size() == 21);
    const auto names = split(rows[0], ',');
    for (const std::size_t v : {0u, 9u, 19u}) {
        const auto cells = split(rows[v + 1], ',');
        CAPTURE(cells[1]);
        const auto alone = run_process(
            PLENAIR_EXECUTABLE,
            {"solve", path, "--set", "slot.width=" + cells[1] + " mm", "--bands", "off", "--json"});
        REQUIRE(alone.status == 0);
        const auto point = nlohmann::json::parse(alone.out).at("points").at(0);
        for (std::size_t c = 0; c < 4; ++c) {
            const auto name = "cylinder_" + std::to_string(c + 1) + "_share_ratio";
            const auto column = std::find(names.begin(), names.end(), name) - names.begin();
            const double share = point.at("cylinders").at(c).at("share").get<double>();
            CHECK(std::stod(cells.at(static_cast<std::size_t>(column))) == near(share, 1e-3));
        }
    }
}

TEST_CASE("sweep: sweep.tolerance says how periodic a variant must be") {
    const ScratchFolder scratch;
    std::string text = plenair::test::sweep_case(
        "tolerance = 1e-6\n\"slot.width\" = { from = \"5 mm\", to = \"7 mm\", steps = 5 }\n");
    text.replace(text.find("tolerance = 1e-3"), 16, "tolerance = 1e-6");
    const auto path = scratch.write("case.toml", text);
    const auto csv = scratch.path("rows.csv");
    REQUIRE(run_process(PLENAIR_EXECUTABLE,
                        {"sweep", path, "--folder", scratch.path("store"), "--quiet", "--csv", csv})
                .status == 0);
    const auto rows = split(read_text(csv), '\n');
    REQUIRE(rows.size() == 6);
    const auto names = split(rows[0], ',');
    const auto column =
        std::find(names.begin(), names.end(), "periodic_residual_ratio") - names.begin();
    for (std::size_t v = 1; v < rows.size(); ++v) {
        CHECK(std::stod(split(rows[v], ',').at(static_cast<std::size_t>(column))) < 1e-6);
    }
}

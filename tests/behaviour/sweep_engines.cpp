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

/// A sweep as its CSV has it.
class Swept final {
public:
    explicit Swept(const std::string& text) {
        path_ = scratch_.write("case.toml", text);
        const auto csv = scratch_.path("rows.csv");
        const auto run = run_process(
            PLENAIR_EXECUTABLE,
            {"sweep", path_, "--folder", scratch_.path("store"), "--quiet", "--csv", csv});
        CAPTURE(run.err);
        REQUIRE(run.status == 0);
        rows_ = split(read_text(csv), '\n');
        names_ = split(rows_.at(0), ',');
    }

    [[nodiscard]] std::size_t count() const { return rows_.size() - 1; }
    [[nodiscard]] std::string input(std::size_t variant) const {
        return split(rows_.at(variant + 1), ',').at(1);
    }
    [[nodiscard]] double number(std::size_t variant, const std::string& name) const {
        const auto at = std::find(names_.begin(), names_.end(), name) - names_.begin();
        return std::stod(split(rows_.at(variant + 1), ',').at(static_cast<std::size_t>(at)));
    }
    /// The one point of the case, with an entry set, by `solve`.
    [[nodiscard]] nlohmann::json alone(const std::string& set) const {
        const auto run = run_process(PLENAIR_EXECUTABLE,
                                     {"solve",
                                      path_,
                                      "--set",
                                      set,
                                      "--set",
                                      "model.tolerance=1e-6",
                                      "--bands",
                                      "off",
                                      "--json"});
        CAPTURE(run.err);
        REQUIRE(run.status == 0);
        return nlohmann::json::parse(run.out).at("points").at(0);
    }
    void check_shares(std::size_t variant, const nlohmann::json& point, double tolerance) const {
        for (std::size_t c = 0; c < 4; ++c) {
            const auto name = "cylinder_" + std::to_string(c + 1) + "_share_ratio";
            const double share = point.at("cylinders").at(c).at("share").get<double>();
            CHECK(number(variant, name) == near(share, tolerance));
        }
    }

private:
    ScratchFolder scratch_;
    std::string path_;
    std::vector<std::string> rows_, names_;
};

/// A quick case that stops where any other does.
std::string certified(const std::string& sweep) {
    std::string text = plenair::test::sweep_case(sweep);
    return text.replace(text.find("tolerance = 1e-3"), 16, "tolerance = 1e-6");
}

std::string lifts(int count) {
    return "\"valve.intake.lift\" = { from = \"9.8 mm\", to = \"10.8 mm\", steps = " +
           std::to_string(count) + " }\n";
}

}  // namespace

// Lanes share their engine: variants whose engines differ are solved one by one, each from where
// the one before came to.
TEST_CASE("sweep: a variant with an engine of its own gets what solve says of it") {
    const Swept swept(plenair::test::sweep_case(lifts(3)));
    REQUIRE(swept.count() == 3);
    for (std::size_t v = 0; v < 3; ++v) {
        CAPTURE(swept.input(v));
        const auto point = swept.alone("valve.intake.lift=" + swept.input(v) + " mm");
        // Quick cases stop at 1e-3, which is worth 0.2 % of a share.
        CHECK(swept.number(v, "air_flow_kg_s") ==
              near(point.at("air_flow_kg_s").get<double>(), 2e-3));
        swept.check_shares(v, point, 2e-3);
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

// Slow gas: a cycle forgets little, and a small residual may be far from the answer.
TEST_CASE("sweep: behind a nearly closed throttle a variant gets what solve says of it") {
    std::string text =
        certified("\"slot.width\" = { from = \"5 mm\", to = \"6.9 mm\", steps = 20 }\n");
    text.insert(text.find("exhaust_pressure = \"270 kPa abs\""), "throttle_angle = \"10 deg\"\n");
    const Swept swept(text);
    REQUIRE(swept.count() == 20);
    for (const std::size_t v : {0u, 9u, 19u}) {
        CAPTURE(swept.input(v));
        swept.check_shares(v, swept.alone("slot.width=" + swept.input(v) + " mm"), 1e-3);
    }
}

TEST_CASE("sweep: sweep.tolerance says how periodic a variant must be") {
    const Swept swept(certified(
        "tolerance = 1e-6\n\"slot.width\" = { from = \"5 mm\", to = \"7 mm\", steps = 5 }\n"));
    REQUIRE(swept.count() == 5);
    for (std::size_t v = 0; v < 5; ++v) {
        CHECK(swept.number(v, "periodic_residual_ratio") < 1e-6);
    }
}

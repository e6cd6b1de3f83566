#include "cases/file/read.hpp"
#include "cases/study/bands.hpp"
#include "cases/study/case.hpp"
#include "cases/study/learned.hpp"
#include "cases/study/solve.hpp"
#include "geometry/error.hpp"
#include "tests/support/near.hpp"
#include "tests/support/quick_four.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

// What readings taught stays in the case: every band afterwards is the posterior's.

using namespace plenair;

namespace {

const std::string four = "cases/shipped/hill-climb-four/case.toml";

std::string text_of(const std::string& path) {
    std::ifstream file(path);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

SolveResult solved(const std::string& added) {
    Case c = parse_case(text_of(four) + added, "case.toml", {});
    c.points.resize(2);
    SolveOptions options;
    options.bands = true;
    return solve(c, options);
}

const BandPart& part(const PointResult& point, const std::string& name) {
    for (const auto& p : point.band_parts) {
        if (p.name == name) return p;
    }
    FAIL("no part " << name);
    return point.band_parts.front();
}

std::string fault(const std::string& added) {
    try {
        (void)parse_case(text_of(four) + added, "case.toml", {});
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

}  // namespace

TEST_CASE("learned: the better a coefficient is known, the narrower its part of the band") {
    const auto before = solved("");
    // The published band of the valves, +/-0.05, and a tenth of it.
    const std::string head = "\n[[learned]]\nentry = \"valve.coefficient\"\ndeviation = ";
    const auto same = solved(head + "0.0255102040816327\n");
    const auto after = solved(head + "0.00255102\n");
    for (std::size_t p = 0; p < before.points.size(); ++p) {
        const double published = part(before.points[p], "valve coefficient").air;
        CHECK(part(same.points[p], "valve coefficient").air == near(published, 1e-9));
        CHECK(part(after.points[p], "valve coefficient").air < 0.25 * published);
        CHECK(after.points[p].air_band < before.points[p].air_band);
        REQUIRE(after.points[p].notes.size() > before.points[p].notes.size());
        CHECK(has(after.points[p].notes.front(), "narrows the band of a bias from"));
    }
}

TEST_CASE("learned: coefficients that act against each other take from the band what they share") {
    const std::string one =
        "\n[[learned]]\nentry = \"throttle.coefficient\"\ndeviation = 0.02\n"
        "\n[[learned]]\nentry = \"valve.coefficient\"\ndeviation = 0.02\n";
    const auto apart = solved(one);
    const auto joined = solved(one + "correlation = [-0.9]\n");
    const auto the_same = solved(one + "correlation = [0]\n");
    for (std::size_t p = 0; p < apart.points.size(); ++p) {
        // Both let more air in: the sum of squares loses 2 r m1 m2 (propagation of correlated
        // errors, JCGM 100:2008, eq. 13), less the choices between laws, which take no part.
        CHECK(joined.points[p].air_band < apart.points[p].air_band);
        CHECK(the_same.points[p].air_band == near(apart.points[p].air_band, 1e-12));
    }
}

TEST_CASE("learned: what a fit writes is read again, with its value and its band") {
    const std::string fitted = "build/learned-bands-fitted.toml";
    const std::string fitted_again = "build/learned-bands-fitted-again.toml";
    const auto fit = run_plenair({"fit",
                                  four,
                                  "--measured",
                                  "cases/shipped/hill-climb-four/measured.toml",
                                  "--quiet",
                                  "-o",
                                  fitted});
    REQUIRE_MESSAGE(fit.status == 0, fit.err);
    CHECK(has(text_of(fitted), "[[learned]]"));
    const auto solve_all = run_plenair({"solve", fitted, "--json", "--quiet"});
    REQUIRE_MESSAGE(solve_all.status == 0, solve_all.err);
    const auto json = nlohmann::json::parse(solve_all.out);
    for (const auto& point : json.at("points")) {
        CHECK(has(point.at("notes").dump(), "what the readings taught narrows"));
    }
    // Fitted again, the tables are written once.
    const auto again = run_plenair({"fit",
                                    fitted,
                                    "--measured",
                                    "cases/shipped/hill-climb-four/measured.toml",
                                    "--quiet",
                                    "-o",
                                    fitted_again});
    CHECK_MESSAGE(again.status == 0, again.err);
    const std::string twice = text_of(fitted_again);
    CHECK(twice.find("entry = \"runner.entry\"") == twice.rfind("entry = \"runner.entry\""));
    std::filesystem::remove(fitted);
    std::filesystem::remove(fitted_again);
}

TEST_CASE("learned: what cannot be is refused by place and remedy") {
    const std::string head = "\n[[learned]]\nentry = ";
    CHECK(has(fault(head + "\"slot.depth\"\ndeviation = 0.1\n"), "learned.1.entry"));
    CHECK(has(fault(head + "\"runner.entry\"\ndeviation = -1\n"), "learned.1.deviation"));
    CHECK(has(fault(head + "\"runner.entry\"\ndeviation = 0.1\n" + head +
                    "\"runner.entry\"\ndeviation = 0.1\n"),
              "stands twice"));
    CHECK(has(fault(head + "\"model.regain\"\nvalue = 1.1\ndeviation = 0.1\n"), "leave value out"));
    CHECK(has(fault(head + "\"runner.entry\"\nvalue = 7\ndeviation = 0.1\n"), "fit again"));
    CHECK(has(fault(head + "\"runner.entry\"\ndeviation = 0.1\ncorrelation = [0.5]\n"),
              "0 entries stand above"));
    CHECK(has(fault(head + "\"runner.entry\"\ndeviation = 0.1\n" + head +
                    "\"slot.coefficient\"\ndeviation = 0.1\ncorrelation = [0.9]\n" + head +
                    "\"valve.coefficient\"\ndeviation = 0.1\ncorrelation = [0.9, -0.9]\n"),
              "no numbers have these correlations"));
}

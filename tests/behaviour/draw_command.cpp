#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/text.hpp"

namespace {

const std::string shipped_case = "cases/shipped/hill-climb-four/case.toml";

}  // namespace

TEST_CASE("draw: the ending of the file decides between SVG and DXF") {
    const ScratchFolder scratch;
    for (const auto& [name, start] : {std::pair(std::string("a.svg"), "<?xml"),
                                      std::pair(std::string("a.dxf"), "  0\nSECTION")}) {
        const auto outcome = run_plenair({"draw", shipped_case, "-o", scratch.path(name)});
        INFO(outcome.err);
        CHECK(outcome.status == 0);
        CHECK(outcome.out == scratch.path(name) + " written\n");
        CHECK(read_text(scratch.path(name)).starts_with(start));
    }
    CHECK(scratch.count() == 2);
}

TEST_CASE("draw: without a file the SVG or the sheet goes to standard output") {
    CHECK(run_plenair({"draw", shipped_case}).out.starts_with("<?xml"));
    const auto sheet = run_plenair({"draw", shipped_case, "--sheet", "--paper", "a4"});
    CHECK(sheet.out.starts_with("<!DOCTYPE html>"));
    CHECK(has(sheet.out, "size:A4 portrait"));
}

TEST_CASE("draw: equal cases give equal bytes") {
    for (const std::string option : {"--quiet", "--sheet"}) {
        const auto first = run_plenair({"draw", shipped_case, option});
        CHECK(first.status == 0);
        CHECK(first.out == run_plenair({"draw", shipped_case, option}).out);
    }
}

TEST_CASE("draw: a sheet without an edge specification is refused and nothing is written") {
    const ScratchFolder scratch;
    const auto outcome = run_plenair(
        {"draw", "cases/shipped/header-rig/case.toml", "--sheet", "-o", scratch.path("s.html")});
    CHECK(outcome.status == 2);
    CHECK(has(outcome.err,
              "cases/shipped/header-rig/case.toml: slot.edge_radius: missing; no machining sheet "
              "without an edge specification: the edge radius decides 8 % of flow"));
    CHECK(outcome.out.empty());
    CHECK(scratch.count() == 0);
}

TEST_CASE("draw: wrong usage ends with status 2 and says what to write") {
    const ScratchFolder scratch;
    const auto check = [&](std::vector<std::string> arguments, const std::string& reason) {
        arguments.insert(arguments.begin(), {"draw", shipped_case});
        const auto outcome = run_plenair(arguments);
        CAPTURE(outcome.err);
        CHECK(outcome.status == 2);
        CHECK(has(outcome.err, reason));
        CHECK(scratch.count() == 0);
    };
    check({"-o", scratch.path("a.pdf")}, "use .svg or .dxf, for example -o intake.dxf");
    check({"-o", scratch.path("a.svg"), "--sheet"}, "use a name that ends in .html");
    check({"--paper", "a4"}, "--paper belongs to --sheet");
    check({"--sheet", "--paper", "a5"}, "a5");
    const auto nowhere = run_plenair({"draw", shipped_case, "-o", scratch.path("no/a.svg")});
    CHECK(nowhere.status == 4);
}

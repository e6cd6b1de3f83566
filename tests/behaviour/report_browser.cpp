#include <doctest/doctest.h>

#include "tests/support/browser/inspect.hpp"
#include "tests/support/quick_four.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"

#include <string>

namespace {

using plenair::test::check_page;
using plenair::test::inspect;

}  // namespace

TEST_CASE(
    "report in a browser: a hostile title is shown, not run; the scrubber moves, by key too") {
    const ScratchFolder scratch;
    auto text = read_text("cases/shipped/v6-bank/case.toml");
    const std::string title = "<script>document.title = 'run'</script> \"'&";
    const auto at = text.find("title = ");
    text.replace(
        at, text.find('\n', at) - at, "title = \"<script>document.title = 'run'</script> \\\"'&\"");
    const auto page = scratch.path("hostile.html");
    REQUIRE(run_plenair({"report", scratch.write("hostile.toml", text), "--quiet", "-o", page})
                .status == 0);
    const auto found = inspect({page})[0];
    check_page(found, page);
    CHECK(found["heading"] == title);
    CHECK(found["title"] == title);
    CHECK(found["scripts"] == 1);
    const auto &before = found["scrubber"]["before"], &after = found["scrubber"]["after"];
    CHECK(before["value"] == "0");
    CHECK(after["value"] == "180");
    CHECK(before["cursor"] != after["cursor"]);
    CHECK(before["columns"] != after["columns"]);
    CHECK(after["words"].get<std::string>().starts_with("180"));
    CHECK(found["scrubber"]["key"] == "182");
}

TEST_CASE("report in a browser: several results and a static page hold the same") {
    const ScratchFolder scratch;
    const auto both = scratch.path("both.html"), static_page = scratch.path("static_page.html");
    const std::string log = "cases/shipped/marine-six/log.toml",
                      two = "cases/shipped/marine-six/two-chamber.toml";
    REQUIRE(run_plenair({"report", log, two, "--quiet", "-o", both}).status == 0);
    REQUIRE(run_plenair({"report", log, "--no-scripts", "--quiet", "-o", static_page}).status == 0);
    const auto found = inspect({both, static_page});
    check_page(found[0], both);
    CHECK(found[0]["charts"][0]["kind"] == "comparison");
    check_page(found[1], static_page);
    CHECK(found[1]["scripts"] == 0);
    CHECK(found[1]["charts"].dump() == "[]");
}

TEST_CASE("report in a browser: a page on variants draws all, and says the options of one chosen") {
    const ScratchFolder scratch;
    const auto path = scratch.write(
        "case.toml",
        plenair::test::quick_four(plenair::test::two_points) +
            "[sweep]\n\"slot.width\" = \"4, 6, 8 mm\"\n\"slot.edge_radius\" = \"0.5, 2 mm\"\n");
    const auto stored = scratch.path("sweep.h5"), page = scratch.path("variants.html");
    REQUIRE(
        run_plenair({"sweep", path, "-o", stored, "--folder", scratch.path("blocks"), "--quiet"})
            .status == 0);
    REQUIRE(run_plenair({"report", stored, "--quiet", "-o", page}).status == 0);
    const auto found = inspect({page})[0];
    check_page(found, page);
    REQUIRE(found["charts"].size() == 2);
    for (const auto& chart : found["charts"]) CHECK(chart["marks"] == 6);
    const auto& chosen = found["readings"]["chosen"];
    CHECK(chosen["byKey"].get<std::string>().starts_with("--set 'slot.width="));
    CHECK(chosen["byPointer"].get<std::string>().starts_with("--set 'slot.width="));
    CHECK(chosen["marks"] == 2);
}

TEST_CASE("report in a browser: readings, what was learned and what to measure next stand there") {
    const ScratchFolder scratch;
    const auto page = scratch.path("learned.html");
    REQUIRE(run_plenair({"report",
                         "cases/shipped/hill-climb-four/case.toml",
                         "--measured",
                         "cases/shipped/hill-climb-four/measured.toml",
                         "--bands",
                         "off",
                         "--no-live",
                         "--quiet",
                         "-o",
                         page})
                .status == 0);
    check_page(inspect({page})[0], page);
    const auto text = read_text(page);
    for (const char* part : {"What was measured",
                             "these readings are made up",
                             "Slot width along x",
                             "A4 lambda",
                             "class=\"error\"",
                             "What was learned",
                             "Bands before and after",
                             "What to measure next"}) {
        CAPTURE(part);
        CHECK(text.find(part) != std::string::npos);
    }
}

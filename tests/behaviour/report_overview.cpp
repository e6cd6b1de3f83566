#include <doctest/doctest.h>

#include "cases/report/html/overview.hpp"
#include "cases/store/read_sweep.hpp"
#include "tests/support/near.hpp"
#include "tests/support/quick_four.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/text.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <string>
#include <vector>

// Pages on many variants: what is on the front, how they rank, and that the options that a page
// gives make that variant.

namespace {

using namespace plenair;
using Json = nlohmann::json;

OverviewVariant variant(std::size_t number, double spread, double loss) {
    OverviewVariant made;
    made.number = number;
    made.inputs = {{0.001 * static_cast<double>(number), ""}};
    made.worst_spread = spread;
    made.worst_point = "A";
    made.loss = loss;
    made.air_flow = 0.1;
    return made;
}

Overview hand_made() {
    Overview overview;
    overview.kind = "Sweep";
    overview.title = "<script>alert('x')</script>";
    overview.inputs = {{"slot.width", true, "m", "mm"}};
    overview.points = {"A"};
    overview.variants = {variant(1, 0.03, 0.02),
                         variant(2, 0.01, 0.05),
                         variant(3, 0.03, 0.03),
                         variant(4, 0.015, 0.04),
                         variant(5, 0.02, 0.06)};
    overview.variants.push_back({});
    overview.variants.back().number = 6;
    overview.variants.back().inputs = {{0.006, ""}};
    overview.variants.back().failure = "slot.width = 60 mm: <b>too wide</b>";
    mark_front(overview);
    return overview;
}

/// The data block of a page.
Json data_of(const std::string& page) {
    const std::string mark = "id=\"data\">";
    const auto from = page.find(mark) + mark.size();
    return Json::parse(page.substr(from, page.find("</script>", from) - from));
}

}  // namespace

TEST_CASE("overview: the front holds what nothing else beats in spread and loss") {
    const auto overview = hand_made();
    std::vector<std::size_t> front;
    for (const auto& each : overview.variants) {
        if (each.front) front.push_back(each.number);
    }
    CHECK(front == std::vector<std::size_t>{1, 2, 4});
    CHECK(overview.failed() == 1);
}

TEST_CASE("overview: those within the target rank by loss, then the others by spread") {
    const auto overview = hand_made();
    std::vector<std::size_t> order;
    for (const auto i : ranking(overview, 0.02)) order.push_back(overview.variants[i].number);
    CHECK(order == std::vector<std::size_t>{4, 2, 5, 1, 3});
}

TEST_CASE("overview: what came from a file stands as text, and no address leaves the page") {
    const auto page = html_text(hand_made(), {});
    CHECK(has(page, "&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt;"));
    CHECK_FALSE(has(page, "<script>alert"));
    CHECK(has(page, "&lt;b&gt;too wide&lt;/b&gt;"));
    CHECK(has(page, "3 of 5 variants stay within 2.0 %"));
    CHECK(has(page, "variant 4 loses least, 4.00 %"));
    ReportOptions no_scripts;
    no_scripts.scripts = false;
    CHECK_FALSE(has(html_text(hand_made(), no_scripts), "<script"));
}

TEST_CASE("overview: the options of a variant of a sweep solve to its figures") {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml",
                                    test::quick_four(test::two_points, 1e-6) +
                                        "[sweep]\n\"slot.width\" = \"5, 7 mm\"\n"
                                        "\"slot.edge_radius\" = \"0.5, 2 mm\"\n");
    const auto stored = scratch.path("sweep.h5"), page = scratch.path("sweep.html");
    REQUIRE(
        run_plenair({"sweep", path, "-o", stored, "--folder", scratch.path("blocks"), "--quiet"})
            .status == 0);
    const auto outcome = run_plenair({"report", stored, "-o", page});
    REQUIRE_MESSAGE(outcome.status == 0, outcome.err);
    CHECK(has(outcome.out, "4 variants"));
    const auto text = read_text(page);
    CHECK(has(text, "Sweep"));
    const auto overview = read_sweep(stored);
    REQUIRE(overview.variants.size() == 4);
    if (!has(text, "id=\"data\">")) return;  // built without the charts
    const auto shown = data_of(text)["overview"];
    for (const auto& each : shown["variants"]) {
        CAPTURE(each.dump());
        std::vector<std::string> arguments{
            "solve", path, "--json", "--quiet", "--bands", "off", "--no-slot", "off"};
        const std::string options = each["set"];
        for (std::size_t at = options.find('\''); at != std::string::npos;
             at = options.find('\'', at)) {
            const auto end = options.find('\'', at + 1);
            arguments.insert(arguments.end(), {"--set", options.substr(at + 1, end - at - 1)});
            at = end + 1;
        }
        CHECK(arguments.size() == 12);
        const auto solved = run_plenair(arguments);
        REQUIRE_MESSAGE(solved.status == 0, solved.err);
        double worst = 0;
        const Json answer = Json::parse(solved.out);
        for (const auto& point : answer["points"]) {
            worst = std::max(worst, point["spread_percent"].get<double>());
        }
        // A sweep marches to its own tolerance: shares to 0.001 %.
        CHECK(each["y"].get<double>() == near(worst, 0, 0.005));
    }
}

TEST_CASE("overview: compare writes a page of its values, and sends two results to report") {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", test::quick_four(test::two_points));
    const auto page = scratch.path("widths.html");
    const auto outcome =
        run_plenair({"compare", path, "--vary", "slot.width=5, 7 mm", "-o", page, "--quiet"});
    REQUIRE_MESSAGE(outcome.status == 0, outcome.err);
    const auto text = read_text(page);
    CHECK(has(text, "Comparison"));
    CHECK(has(text, "<code>slot.width</code>"));
    const auto wrong = run_plenair({"compare", path, path, "-o", page});
    CHECK(wrong.status == 2);
    CHECK(has(wrong.err, "two results side by side are a page of plenair report"));
}

TEST_CASE("overview: a sweep beside other files is refused with the way out") {
    const ScratchFolder scratch;
    const auto path = scratch.write(
        "case.toml",
        test::quick_four(test::two_points, 1e-6) + "[sweep]\n\"slot.width\" = \"5, 7 mm\"\n");
    const auto stored = scratch.path("sweep.h5");
    const auto swept =
        run_plenair({"sweep", path, "-o", stored, "--folder", scratch.path("blocks"), "--quiet"});
    REQUIRE_MESSAGE(swept.status == 0, swept.err);
    const auto wrong = run_plenair({"report", path, stored, "-o", scratch.path("x.html")});
    CHECK(wrong.status == 2);
    CHECK(has(wrong.err, "the page on a sweep is of one sweep alone"));
}

#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"
#include "tests/support/run_process.hpp"

#include <string>
#include <vector>

// The examples of the chapter on rigs in docs/case-file.md are run as they stand there.

namespace {

std::vector<std::string> examples() {
    const std::string page = read_text(std::string(PLENAIR_SOURCE_DIR) + "/docs/case-file.md");
    const std::string fence = "```toml\n";
    std::vector<std::string> blocks;
    for (auto at = page.find(fence, page.find("## Rigs")); at != std::string::npos;
         at = page.find(fence, at)) {
        at += fence.size();
        const auto end = page.find("```", at);
        blocks.push_back(page.substr(at, end - at));
        at = end;
    }
    return blocks;
}

const std::string head = "format = 1\n";

}  // namespace

TEST_CASE("rig chapter: the complete example gives the closed form") {
    const auto blocks = examples();
    REQUIRE(blocks.size() == 3);
    const auto flow = plenair::test::over_mean(plenair::test::run_rig(blocks[0]).flow_per_length);
    // Acrivos, Babcock, Pigford 1959: spread m tan(m/2) with m = 0.5052.
    CHECK(100 * (plenair::test::at_end(flow) - plenair::test::at_start(flow)) ==
          near(13.04, 0, 0.1));
}

TEST_CASE("rig chapter: the runners of the example share as published") {
    const auto flow =
        plenair::test::over_mean(plenair::test::run_rig(head + examples()[1]).flow_per_runner);
    // Hudson, Uhler, Bailey 1979, station by station.
    CHECK(flow.front() == near(0.736, 5e-3));
    CHECK(flow.back() == near(1.178, 5e-3));
}

TEST_CASE("rig chapter: the jet of the example starves the first runner") {
    const auto blocks = examples();
    std::string text = head + blocks[1];
    const std::string feed = "feed = \"open\"\n";
    text.erase(text.find(feed), feed.size());
    text.erase(text.find("[model]"));
    const auto jet =
        plenair::test::over_mean(plenair::test::run_rig(text + blocks[2]).flow_per_runner);
    const auto still =
        plenair::test::over_mean(plenair::test::run_rig(head + blocks[1]).flow_per_runner);
    CHECK(jet.front() < still.front());
}

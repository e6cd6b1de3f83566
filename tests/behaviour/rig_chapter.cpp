#include "cases/file/read.hpp"
#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/text.hpp"

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
    REQUIRE(blocks.size() == 6);
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
    const auto at_rest =
        plenair::test::over_mean(plenair::test::run_rig(head + blocks[1]).flow_per_runner);
    CHECK(jet.front() < at_rest.front());
}

TEST_CASE("rig chapter: restrictor, air drawn in, outlet and head of the examples run") {
    using plenair::test::run_rig;
    const auto blocks = examples();
    std::string fed = head + blocks[1];
    const std::string feed = "feed = \"open\"\n";
    fed.erase(fed.find(feed), feed.size());
    CHECK(run_rig(fed + blocks[3]).flow > 0);

    std::string header = blocks[0];
    header.insert(header.find("set_ups"), "direction = \"in\"\n");
    CHECK(has(blocks[4], "direction = \"in\""));
    CHECK(run_rig(header).flow > 0);
    header = blocks[0];
    CHECK(has(blocks[4], "outlet_loss = 4"));
    header.insert(header.find("feed"), "outlet_loss = 4\n");
    CHECK(run_rig(header).outlet_flow > 0);

    const auto heads = plenair::bench(
        plenair::parse_case(head + blocks[5], "head.toml", {"bench.set_ups=[\"valve\"]"}));
    REQUIRE(heads.set_ups.size() == 5);
    for (const auto& one : heads.set_ups) {
        REQUIRE_MESSAGE(one.converged, one.failure);
        CHECK(one.valve->cd_curtain == near(one.valve->cd_valve, 2e-2));
    }
}

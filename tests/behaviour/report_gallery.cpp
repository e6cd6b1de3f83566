#include <doctest/doctest.h>

#include "tests/support/browser/inspect.hpp"
#include "tests/support/layouts.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"

#include <filesystem>
#include <string>
#include <vector>

// An example report of every shipped case, opened in headless Chromium and left in
// build/<preset>/reports, to be looked at; scripts/dev/pictures takes screenshots of them.

namespace {

namespace fs = std::filesystem;

/// Shipped case files that name an engine.
std::vector<fs::path> shipped_engines() {
    std::vector<fs::path> files;
    for (const auto& entry : fs::recursive_directory_iterator("cases/shipped")) {
        if (entry.path().extension() != ".toml") continue;
        if (read_text(entry.path().string()).find("\n[engine]") != std::string::npos) {
            files.push_back(entry.path());
        }
    }
    return files;
}

}  // namespace

TEST_CASE("report: every shipped case draws, asks for nothing and prints whole") {
    const auto folder = fs::path(PLENAIR_EXECUTABLE).parent_path() / "reports";
    fs::create_directories(folder);
    std::vector<std::string> pages;
    for (const auto& file : shipped_engines()) {
        CAPTURE(file.string());
        const auto name = file.parent_path().filename().string() + "-" + file.stem().string();
        pages.push_back((folder / (name + ".html")).string());
        REQUIRE(run_plenair({"report", file.string(), "--quiet", "-o", pages.back()}).status == 0);
        CHECK(fs::file_size(pages.back()) < 1500000);
    }
    REQUIRE(pages.size() >= 5);
    const auto found = plenair::test::inspect(pages);
    for (std::size_t i = 0; i < pages.size(); ++i) {
        plenair::test::check_page(found[i], pages[i]);
        CHECK(found[i]["charts"].size() >= 3);
    }
}

TEST_CASE(
    "report: one, five, six in pairs, eight and twelve cylinders draw, have no hindrance and print "
    "whole") {
    const ScratchFolder scratch;
    std::vector<std::string> pages;
    for (const std::string name :
         {"one-log", "five-side", "v6-shared", "eight-numbered-back", "v12-two-banks"}) {
        pages.push_back(scratch.path(name + ".html"));
        // What a page looks like does not depend on the cells.
        REQUIRE(run_plenair({"report",
                             plenair::test::layout_path(name),
                             "--set",
                             "model.cells=largest cell 80 mm",
                             "--bands",
                             "off",
                             "--no-live",
                             "--quiet",
                             "-o",
                             pages.back()})
                    .status == 0);
    }
    const auto found = plenair::test::inspect(pages);
    for (std::size_t i = 0; i < pages.size(); ++i) plenair::test::check_page(found[i], pages[i]);
}

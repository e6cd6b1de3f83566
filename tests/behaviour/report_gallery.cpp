#include <doctest/doctest.h>

#include "tests/support/browser/fonts.hpp"
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
    // Of two banks, too, in inches.
    pages.push_back((folder / "v12-two-banks.html").string());
    REQUIRE(run_plenair({"report",
                         plenair::test::layout_path("v12-two-banks"),
                         "--set",
                         "model.cells=largest cell 3.2 in",
                         "--bands",
                         "off",
                         "--quiet",
                         "-o",
                         pages.back()})
                .status == 0);
    CHECK(fs::file_size(pages.back()) < 1500000);
    REQUIRE(pages.size() >= 6);
    const auto found = plenair::test::inspect(pages);
    for (std::size_t i = 0; i < pages.size(); ++i) {
        plenair::test::check_page(found[i], pages[i]);
        CHECK(found[i]["charts"].size() >= 3);
    }
}

TEST_CASE(
    "report: every layout of the gallery draws, has no hindrance and prints whole, in a wide set "
    "of fonts and in a narrow one") {
    const ScratchFolder scratch;
    std::vector<std::string> pages;
    for (const auto& name : plenair::test::layouts()) {
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
    for (const auto& set : plenair::test::font_sets()) {
        CAPTURE(set.name);
        if (!plenair::test::is_installed(set)) {
            MESSAGE("SKIPPED: fonts ", set.name, " are not installed; run scripts/setup.sh test");
            continue;
        }
        // What finds room in the wide letters of the first set does in others: some show it.
        std::vector<std::string> shown;
        const std::size_t step = &set == &plenair::test::font_sets().front() ? 1 : 3;
        for (std::size_t i = 0; i < pages.size(); i += step) shown.push_back(pages[i]);
        const auto found = plenair::test::inspect(shown, {plenair::test::only_fonts(set, scratch)});
        for (std::size_t i = 0; i < shown.size(); ++i) {
            plenair::test::check_page(found[i], shown[i]);
            CAPTURE(shown[i]);
            for (const std::string paper : {"A4", "Letter"}) {
                CAPTURE(paper);
                // Each reader has his page.
                for (const auto& sheets : found[i]["print"][paper]["readers"].items()) {
                    CAPTURE(sheets.key());
                    CHECK(sheets.value().get<double>() < 1);
                }
            }
        }
    }
}

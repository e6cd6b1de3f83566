#include <doctest/doctest.h>

#include <cctype>
#include <filesystem>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

#include "cases/base/sha256.hpp"
#include "cases/file/read.hpp"
#include "cases/file/slot_shop.hpp"
#include "cases/report/markup/markup.hpp"
#include "cases/report/sheet/sheet.hpp"
#include "tests/support/browser/fonts.hpp"
#include "tests/support/layouts.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/text.hpp"

namespace {

const std::string shipped_case = "cases/shipped/hill-climb-four/case.toml";

std::string html_of(const plenair::Case& c, plenair::Paper paper = plenair::Paper::any) {
    return plenair::sheet_html(plenair::machining_sheets(c, plenair::slot_shops(c)), {paper});
}

std::string shipped(const std::vector<std::string>& sets = {}) {
    return html_of(plenair::read_case(shipped_case, sets));
}

int count(const std::string& text, const std::string& part) {
    int found = 0;
    for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) {
        ++found;
    }
    return found;
}

/// What stands between the tags, in small letters.
std::string words_of(const std::string& html) {
    std::string words;
    bool inside = false;
    for (const char sign : html.substr(html.find("<body>"))) {
        inside = sign == '<' || (inside && sign != '>');
        words += inside || sign == '>'
                     ? ' '
                     : static_cast<char>(std::tolower(static_cast<unsigned char>(sign)));
    }
    return words;
}

/// The shipped case with a row of round holes in place of its slot.
plenair::Case row_of_holes(int count, double pitch = 0.018, double diameter = 0.012) {
    auto c = plenair::read_case(shipped_case, {});
    auto& slot = *c.intake.banks.front().slot;
    slot.pieces.clear();
    for (int i = 0; i < count; ++i) {
        slot.holes.push_back(
            {0.02 + pitch * i, diameter, std::numbers::pi / 4 * diameter * diameter, diameter});
    }
    return c;
}

/// The page with every letter in another font, its policy left out: it allows its own style alone.
std::string in_font(std::string html, const std::string& font) {
    const auto policy = html.find("<meta http-equiv");
    html.erase(policy, html.find('>', policy) + 1 - policy);
    const auto style = html.find("</style>");
    return html.insert(style, "*{font-family:" + font + "!important;font-size-adjust:none}");
}

}  // namespace

TEST_SUITE("content") {
    TEST_CASE("sheet: nine stations with limits, pins and blanks, millimetres before inches") {
        const auto html = shipped();
        CHECK(has(html, "9 stations, fill in by pen"));
        CHECK(count(html, "<td>5.95 (0.2343)</td><td>6.05 (0.2382)</td>") == 9);
        CHECK(has(html, "<th scope=\"row\">9</th><td>388.0 (15.276)</td>"));
        CHECK(count(html, "<td class=\"pen\"></td>") >= 9 * 3 + 8);
        for (const char* part : {"Datums</th><td colspan=\"2\">A face of the wall",
                                 "5.95 (0.2343) to 6.05 (0.2382), at every station",
                                 "at most 0.05 (0.0020) either way beyond the drawing",
                                 "radius 1.80 (0.0709) to 2.20 (0.0866)",
                                 "break at most 0.20 (0.0079)",
                                 "7.90 (0.3110) to 8.10 (0.3189)",
                                 "within 0.05 (0.0020)",
                                 "Take burrs off with a stone",
                                 "GO pin<br>must enter",
                                 "NO-GO pin<br>must not enter",
                                 "scale 1:2.5",
                                 "This bar measures 50 mm",
                                 "Remove all chips: they go into an engine"}) {
            CAPTURE(part);
            CHECK(has(html, part));
        }
    }

    TEST_CASE("sheet: each 0.05 mm of width and 0.1 mm of edge radius has its cost") {
        const auto html = shipped();
        CHECK(
            has(html,
                "by 0.05&nbsp;mm (0.0020&nbsp;in)</th><td>+0.66&nbsp;%</td><td>-0.66&nbsp;%</td>"));
        CHECK(
            has(html,
                "by 0.10&nbsp;mm (0.0039&nbsp;in)</th><td>+0.68&nbsp;%</td><td>-0.71&nbsp;%</td>"));
        CHECK(has(html,
                  "0.10&nbsp;mm (0.0039&nbsp;in) of edge radius counts as much as 0.05&nbsp;mm"));
        const auto sharp = shipped({"slot.edge_radius=0 mm"});
        CHECK(
            has(sharp,
                "drawn sharp, broken by 0.50&nbsp;mm (0.0197&nbsp;in)</th><td>+7.77&nbsp;%</td>"));
        CHECK(has(sharp, "Do not break them"));
    }

    TEST_CASE("sheet: it speaks the shop's language") {
        const auto words = words_of(shipped());
        for (const char* word : {"cylinder",
                                 "bias",
                                 "share",
                                 "lambda",
                                 "volumetric",
                                 "maldistribution",
                                 "mach",
                                 "trim",
                                 "firing",
                                 "runner",
                                 "throttle",
                                 "% of air",
                                 "discharge",
                                 " cd "}) {
            CAPTURE(word);
            // "machining" is not a Mach number.
            CHECK_FALSE(has(words, std::string(word) == "mach" ? "mach number" : word));
        }
        CHECK(count(words, "engine") == 1);  // where the chips go
    }

    TEST_CASE("sheet: an outlet edge larger than a break is a radius, not sharp") {
        const auto cut = shipped({"slot.outlet_edge=3 mm"});
        CHECK_FALSE(has(cut, "Largest break of the outlet edges"));
        CHECK(has(cut, "Radius of the outlet edges"));
        CHECK(has(cut, "Outlet edges (side D): cut the radius of 3"));
        CHECK(has(shipped(), "Outlet edges (side D): sharp, burr removed, break at most 0.2"));
    }

    TEST_CASE("sheet: tolerances of the case file replace the defaults") {
        const auto html = shipped({"slot.width_tolerance=0.02 mm",
                                   "slot.material=aluminium 6082-T6",
                                   "slot.surface=1.6 um",
                                   "slot.land_tolerance=0.25 mm"});
        CHECK(count(html, "<td>5.98 (0.2354)</td><td>6.02 (0.2370)</td>") == 9);
        CHECK(has(html, "aluminium 6082-T6"));
        CHECK(has(html, "Ra 1.6 \u00b5m"));
        CHECK(has(html, "7.75 (0.3051) to 8.25 (0.3248)"));
    }

    TEST_CASE("sheet: the slot is fully defined, and a default says that it is one") {
        const auto html = shipped();
        for (const char* part : {"Ends of the slot",
                                 "full radius (default: none stated)",
                                 "length is over all, end to end",
                                 "C middle of the wall, between its side faces",
                                 "Centre line, across the wall",
                                 "on C; 26.00 (1.0236) from the side faces",
                                 "Squareness of the land to face A",
                                 "within 0.05 (0.0020) over the land"}) {
            CAPTURE(part);
            CHECK(has(html, part));
        }
        // Full radii take (1 - pi/4) w^2 of w times l: 0.2146 x 36 / 2328 = 0.33 %.
        CHECK(has(html, "square ends that were computed</th><td></td><td>-0.33&nbsp;%"));
        const auto square = shipped({"slot.ends=square"});
        CHECK(has(square, "<td>square</td>"));
        CHECK_FALSE(has(square, "square ends that were computed"));
        const auto cut = shipped({"slot.cutter=3 mm", "slot.offset=4 mm"});
        CHECK(has(cut, "corner radius 1.50 (0.0591): cutter 3.00 (0.1181)"));
        CHECK(has(cut, "4.00 (0.1575) above C, seen from A with B on the left"));
        CHECK(has(cut, "30.00 (1.1811) from the lower side face"));
    }

    TEST_CASE("sheet: the inlet radius is judged with gauges that a shop has") {
        CHECK(has(shipped(), "2.00&nbsp;mm fits, 1.75&nbsp;mm and 2.25&nbsp;mm must show light"));
        CHECK(has(shipped({"slot.edge_radius=2.1 mm", "slot.edge_radius_tolerance=0.05 mm"}),
                  "No gauge of a usual set lies within the limits"));
        CHECK(has(shipped({"case.units=inch", "slot.edge_radius=0.078125 in"}),
                  "5/64&nbsp;in (0.0781) fits, 1/16&nbsp;in (0.0625)"));
    }

    TEST_CASE("sheet: ends, cutter and place that cannot be are refused with the way out") {
        const auto refused = [](const std::vector<std::string>& sets, const char* words) {
            CAPTURE(words);
            try {
                (void)plenair::read_case(shipped_case, sets);
                FAIL("accepted");
            } catch (const std::exception& error) {
                CHECK(has(error.what(), words));
            }
        };
        refused({"slot.ends=cutter"}, "slot.cutter: missing; write cutter = \"3 mm\"");
        refused({"slot.cutter=8 mm"}, "does not enter a slot 6 mm wide");
        refused({"slot.cutter=3 mm", "slot.ends=square"}, "leave it out, or write ends");
        refused({"slot.offset=24 mm"}, "beyond the wall, which is 52 mm high; write at most 23 mm");
        refused({"slot.ends=round"}, "slot.ends");
    }

    TEST_CASE("sheet: cautions are always there") {
        for (const auto& html : {shipped(), shipped({"slot.edge_radius=0 mm"})}) {
            CHECK(has(html, "Cutters, edges and chips injure"));
            CHECK(has(html, "licensed, person under local rules"));
            CHECK(has(html, "a calculation, not an approval"));
        }
    }
}

TEST_SUITE("safety") {
    TEST_CASE("sheet: title and material are text whatever they hold") {
        auto c = plenair::read_case(shipped_case, {});
        c.title = "<script>alert('x')</script><img src=x onerror=\"1\">";
        c.intake.banks.front().slot->limits.material = "</td><style>*{display:none}</style>";
        const auto html = html_of(c);
        CHECK_FALSE(has(html, "<script"));
        CHECK_FALSE(has(html, "<img"));
        CHECK(count(html, "<style>") == 1);
        CHECK(has(html, "&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt;"));
    }

    TEST_CASE("sheet: the policy allows its own style alone, and no address leaves the page") {
        const auto html = shipped();
        const auto start = html.find("<style>") + 7;
        const auto style = html.substr(start, html.find("</style>") - start);
        CHECK(has(html,
                  "default-src 'none'; style-src " +
                      plenair::html::policy_source(plenair::sha256(style))));
        CHECK_FALSE(has(html, " style=\""));
        CHECK_FALSE(has(html, "href"));
        CHECK_FALSE(has(html, " src="));
        CHECK_FALSE(has(html, "url("));
        CHECK(count(html, "http://") == count(html, "http://www.w3.org/2000/svg"));
    }
}

TEST_SUITE("print") {
    TEST_CASE("sheet: it prints on two sides of A4 and of Letter, whatever the font") {
        const std::string browser = "/usr/bin/chromium";
        const std::string reader = "/usr/bin/pdfinfo";
        if (!std::filesystem::exists(browser) || !std::filesystem::exists(reader)) {
            MESSAGE("SKIPPED: chromium or poppler-utils is not installed; run scripts/setup.sh");
            return;
        }
        std::vector<plenair::test::FontSet> sets;
        for (const auto& set : plenair::test::font_sets()) {
            if (plenair::test::is_installed(set)) {
                sets.push_back(set);
            } else {
                MESSAGE(
                    "SKIPPED: fonts ", set.name, " are not installed; run scripts/setup.sh test");
            }
        }
        const ScratchFolder scratch;
        std::vector<plenair::MachiningSheet> sheets;
        for (const auto& c : {plenair::read_case(shipped_case, {}),
                              plenair::read_case("cases/shipped/v6-bank/case.toml", {}),
                              plenair::read_case("cases/shipped/marine-six/two-chamber.toml", {}),
                              row_of_holes(16),
                              row_of_holes(21),
                              row_of_holes(39, 0.0095, 0.007)}) {
            const auto more = plenair::machining_sheets(c, plenair::slot_shops(c));
            sheets.insert(sheets.end(), more.begin(), more.end());
        }
        // In inches, tapered, in pieces, of two banks.
        for (const auto& name : {"three-far", "five-side", "four-two-throttles", "v12-two-banks"}) {
            const auto c = plenair::test::layout(name);
            const auto more = plenair::machining_sheets(c, plenair::slot_shops(c));
            sheets.insert(sheets.end(), more.begin(), more.end());
        }
        REQUIRE(sheets.size() == 11);
        for (const std::string size : {"A4", "letter"}) {
            const auto paper = size == "A4" ? plenair::Paper::a4 : plenair::Paper::letter;
            const std::string html = plenair::sheet_html(sheets, {paper});
            std::vector<std::pair<plenair::test::FontSet, std::string>> prints;
            for (const auto& set : sets) {
                prints.emplace_back(set, html);
                // A font of fixed pitch is wider than any to read text in.
                prints.emplace_back(set, in_font(html, "'" + set.fixed + "'"));
            }
            for (const auto& print : prints) {
                const auto& set = print.first;
                CAPTURE(size);
                CAPTURE(set.name);
                const auto page = scratch.write("sheet.html", print.second);
                const auto pdf = scratch.path("sheet.pdf");
                const auto printed = run_process("/usr/bin/env",
                                                 {plenair::test::only_fonts(set, scratch),
                                                  browser,
                                                  "--headless",
                                                  "--no-sandbox",
                                                  "--disable-gpu",
                                                  "--user-data-dir=" + scratch.path("profile"),
                                                  "--no-pdf-header-footer",
                                                  "--print-to-pdf=" + pdf,
                                                  "file://" + page});
                CHECK(printed.status == 0);
                CHECK_FALSE(has(printed.err, "Content Security Policy"));
                const auto info = run_process(reader, {pdf});
                CHECK(has(info.out, "Pages:           22"));
                CHECK(has(info.out, size));
            }
        }
    }
}

#pragma once

#include "tests/support/run_process.hpp"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include <filesystem>
#include <string>
#include <vector>

namespace plenair::test {

using Json = nlohmann::json;

/// What headless Chromium found in each page; see tests/support/browser/inspect.mjs.
/// @param settings  assignments for `env`
inline Json inspect(const std::vector<std::string>& pages,
                    const std::vector<std::string>& settings = {}) {
    auto arguments = settings;
    arguments.insert(arguments.end(), {"node", "tests/support/browser/inspect.mjs"});
    arguments.insert(arguments.end(), pages.begin(), pages.end());
    const auto outcome = run_process("/usr/bin/env", arguments);
    INFO(outcome.err);
    REQUIRE_MESSAGE(outcome.status == 0, "needs node and chromium: scripts/setup.sh installs them");
    return Json::parse(outcome.out);
}

/// What must hold of every report in a browser: nothing on the console, no request but for the page
/// itself, marks in every chart wide and narrow, no word on another, no piece cut by the paper.
inline void check_page(const Json& found, const std::string& page) {
    CAPTURE(page);
    CHECK(found["faults"].dump() == "[]");
    REQUIRE(found["requests"].size() == 1);
    CHECK(found["requests"][0].get<std::string>().ends_with(
        std::filesystem::path(page).filename().string()));
    CHECK(found["hindrances"].dump() == "[]");
    if (found["accessibility"].is_null()) {
        MESSAGE("SKIPPED: axe-core is not installed; run scripts/setup.sh test");
    } else {
        CHECK(found["accessibility"].dump() == "[]");
    }
    for (const auto& chart : found["readings"]["charts"]) {
        CAPTURE(chart.dump());
        CHECK(chart["focusable"] == true);
        CHECK(chart["link"] == true);
        CHECK(chart["pointed"].get<std::string>().find(": ") != std::string::npos);
        CHECK(chart["first"] != chart["next"]);
    }
    CHECK(found["readings"]["broken"] == 0);
    for (const auto& charts : {found["charts"], found["narrow"]["charts"]}) {
        for (const auto& chart : charts) {
            CAPTURE(chart.dump());
            CHECK(chart["marks"].get<int>() > 0);
            CHECK(chart["broken"] == 0);
            CHECK(chart["outside"].dump() == "[]");
            CHECK(chart["label"].is_string());
        }
    }
    CHECK(found["overprints"].dump() == "[]");
    CHECK(found["narrow"]["overprints"].dump() == "[]");
    CHECK(found["narrow"]["wide"] == 0);
    for (const std::string paper : {"A4", "Letter"}) {
        CAPTURE(paper);
        CHECK(found["print"][paper]["cut"].dump() == "[]");
        CHECK(found["print"][paper]["pages"].get<int>() >= 3);
    }
}

}  // namespace plenair::test

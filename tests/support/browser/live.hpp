#pragma once

#include "cases/report/live/live_module.hpp"
#include "tests/support/run_process.hpp"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include <string>

namespace plenair::test {

/// What tests/support/browser/live.mjs saw of a task in a page.
/// @param browser  "chromium" or "firefox"
inline nlohmann::json work(const std::string& task,
                           const std::string& page,
                           const nlohmann::json& asked = nullptr,
                           const std::string& browser = "chromium") {
    const auto outcome = run_process("/usr/bin/env",
                                     {"timeout",
                                      "300",
                                      "node",
                                      "tests/support/browser/live.mjs",
                                      task,
                                      page,
                                      asked.dump(),
                                      browser});
    INFO(outcome.err);
    REQUIRE_MESSAGE(
        outcome.status == 0, "needs node and ", browser, ": scripts/setup.sh installs them");
    auto found = nlohmann::json::parse(outcome.out);
    CHECK(found["console"].dump() == "[]");
    CHECK(found["requests"].dump() == "[]");
    return found;
}

/// Whether this build has the compiled model for the page; without it says that the check is
/// skipped.
inline bool has_model() {
    const bool has = !live_module().packed.empty();
    if (!has) MESSAGE("SKIPPED: this build has no model for the page (PLENAIR_LIVE is off)");
    return has;
}

}  // namespace plenair::test

#pragma once

#include "cases/report/live/live_module.hpp"
#include "tests/support/run_process.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <string>
#include <vector>

/// The embedded model of the page, run where a page may run.
namespace plenair::test {

inline constexpr const char* in_node = "tests/support/browser/model.mjs";
inline constexpr const char* in_chromium = "tests/support/browser/model_page.mjs";

/// {"ready": ms, "answers": [...], "milliseconds": [...]}, one of each a request; in Node also
/// "memory", in Chromium "faults" and "requests" of the page.
inline nlohmann::json ask_module(const char* where,
                                 const std::string& case_path,
                                 const std::vector<nlohmann::json>& requests) {
    const ScratchFolder scratch;
    const nlohmann::json input = {{"packed", live_module().packed},
                                  {"worker", live_module().worker},
                                  {"text", read_text(case_path)},
                                  {"name", case_path},
                                  {"requests", requests}};
    const auto outcome =
        run_process("/usr/bin/env", {"node", where, scratch.write("input.json", input.dump())});
    REQUIRE_MESSAGE(outcome.status == 0, outcome.err);
    return nlohmann::json::parse(outcome.out);
}

}  // namespace plenair::test

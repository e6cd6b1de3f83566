#pragma once

#include "cases/report/live_module.hpp"
#include "tests/support/run_process.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <string>
#include <vector>

/// The embedded model of the page, run in Node (tests/support/browser/model.mjs).
namespace plenair::test {

/// {"ready": ms, "answers": [...], "milliseconds": [...], "memory": [...]}, one of each a request.
inline nlohmann::json ask_module(const std::string& case_path,
                                 const std::vector<nlohmann::json>& requests) {
    const ScratchFolder scratch;
    const nlohmann::json input = {{"packed", live_module().packed},
                                  {"worker", live_module().worker},
                                  {"text", read_text(case_path)},
                                  {"name", case_path},
                                  {"requests", requests}};
    const auto outcome = run_process(
        "/usr/bin/env",
        {"node", "tests/support/browser/model.mjs", scratch.write("input.json", input.dump())});
    REQUIRE_MESSAGE(outcome.status == 0, outcome.err);
    return nlohmann::json::parse(outcome.out);
}

}  // namespace plenair::test

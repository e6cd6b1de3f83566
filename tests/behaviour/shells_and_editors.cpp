// What plenair gives to the programs in which its users type: completions to shells, the schema of
// a case file to editors. Each is asked as its user would ask it.
#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/text.hpp"

namespace {

using Json = nlohmann::json;

/// What an editor shows of this case file, with the schema beside it, asked for completion at this
/// place (from 0); null, with a message, where no language server is installed.
Json shown(const std::string& text, int line, int column) {
    const ScratchFolder scratch;
    (void)scratch.write("case.schema.json", run_plenair({"check", "--schema"}).out);
    const auto outcome = run_process("/usr/bin/env",
                                     {"node",
                                      "tests/support/editor/ask.mjs",
                                      scratch.write("case.toml", text),
                                      std::to_string(line),
                                      std::to_string(column)});
    if (outcome.status == 3) {
        MESSAGE("SKIPPED: @taplo/lsp is not installed; run scripts/setup.sh test");
        return nullptr;
    }
    INFO(outcome.err);
    REQUIRE(outcome.status == 0);
    return Json::parse(outcome.out);
}

const std::string begun = "#:schema case.schema.json\nformat = 1\n";

bool offers(const Json& found, const std::string& word) {
    const auto& all = found["completions"];
    return std::find(all.begin(), all.end(), word) != all.end();
}

}  // namespace

TEST_CASE("shells: Tab completes a verb and an option in bash, zsh and fish") {
    const ScratchFolder scratch;
    for (const auto& [shell, file] : {std::pair<std::string, std::string>{"bash", "plenair.bash"},
                                      {"zsh", "_plenair"},
                                      {"fish", "plenair.fish"}}) {
        if (!std::filesystem::exists("/usr/bin/" + shell)) {
            MESSAGE("SKIPPED: " << shell << " is not installed; run scripts/setup.sh test");
            continue;
        }
        (void)scratch.write(file, run_plenair({"--completion", shell}).out);
        const auto tried = run_process(
            "/usr/bin/env", {"scripts/dev/try-shells", "--from", scratch.folder(), shell});
        INFO(tried.err);
        CHECK(tried.status == 0);
        CHECK(tried.out == shell + ": completes verb and option\n");
    }
}

TEST_CASE("editors: a language server completes, explains and marks by the schema") {
    const auto found = shown(begun + "[slot]\n\nwidth = \"4 mm\"\nedg = 2\n", 3, 0);
    if (found.is_null()) return;
    for (const std::string key : {"x", "length", "edge_radius", "land", "cd"}) {
        CAPTURE(key);
        CHECK(offers(found, key));
    }
    CHECK(!offers(found, "bore"));
    CHECK(has(found["hovers"][4].get<std::string>(), "Width"));
    REQUIRE(found["faults"].size() == 1);
    CHECK(has(found["faults"][0][1].get<std::string>(), "'edg' was unexpected"));
}

TEST_CASE("editors: sections are offered; what start writes has no mark, a slip in it has one") {
    const auto sections = shown(begun + "\n", 2, 0);
    if (sections.is_null()) return;
    CHECK(offers(sections, "engine"));
    CHECK(offers(sections, "plenum"));
    const ScratchFolder scratch;
    const auto path = scratch.path("mine.toml");
    REQUIRE(run_plenair({"start", "--like", "hill-climb-four", "-o", path}).status == 0);
    auto text = read_text(path);
    REQUIRE(text.starts_with("#:schema case.schema.json\n"));
    CHECK(shown(text, 0, 0)["faults"].dump() == "[]");
    text.replace(text.find("[slot]\n"), 7, "[slot]\nwidht = 3\n");
    const auto faults = shown(text, 0, 0)["faults"];
    REQUIRE(faults.size() == 1);
    CHECK(has(faults[0][1].get<std::string>(), "'widht' was unexpected"));
}

// Remedies followed to the letter: what a message says to write is written, and must then be right.

#include "cases/file/read.hpp"
#include "tests/support/remedy.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <optional>
#include <regex>
#include <string>
#include <vector>

using plenair::InputError;

namespace {

namespace fs = std::filesystem;

std::vector<std::string> messages_of(const std::string& text, const std::string& name) {
    try {
        (void)plenair::parse_case(text, name, {});
    } catch (const InputError& error) {
        return error.messages();
    }
    return {};
}

struct Wrong {
    std::string name, text;
};

std::vector<Wrong> wrong_files() {
    std::vector<Wrong> files;
    for (const auto& entry :
         fs::directory_iterator(std::string(PLENAIR_SOURCE_DIR) + "/tests/behaviour/wrong_files")) {
        if (entry.path().extension() == ".toml") {
            files.push_back({entry.path().filename().string(), read_text(entry.path().string())});
        }
    }
    std::sort(files.begin(), files.end(), [](auto& a, auto& b) { return a.name < b.name; });
    return files;
}

}  // namespace

TEST_CASE("remedies: there are two hundred wrong files, and each message has a remedy") {
    const auto files = wrong_files();
    CHECK(files.size() >= 200);
    for (const auto& file : files) {
        const auto messages = messages_of(file.text, file.name);
        CAPTURE(file.name);
        CHECK_FALSE(messages.empty());
        for (const auto& message : messages) {
            CAPTURE(message);
            CHECK(plenair::test::has_remedy(message));
        }
    }
}

TEST_CASE("remedies: what a message says to write is accepted") {
    std::size_t followed = 0;
    for (const auto& file : wrong_files()) {
        const auto messages = messages_of(file.text, file.name);
        for (const auto& text : messages) {
            const auto better = plenair::test::mended(file.text, text);
            if (!better) {
                continue;
            }
            ++followed;
            CAPTURE(text);
            const auto left = messages_of(*better, file.name);
            // An example or a name mends its own fault; what else is wrong there it cannot know.
            const bool example = text.find("write e.g. ") != std::string::npos ||
                                 text.find("did you mean ") != std::string::npos;
            if (messages.size() == 1 && !example) {
                CAPTURE((left.empty() ? std::string() : left.front()));
                CHECK(left.empty());
            } else {
                CHECK(std::find(left.begin(), left.end(), text) == left.end());
                CHECK(left.size() < messages.size() + (example ? 2 : 0));
            }
        }
    }
    CHECK(followed >= 60);
}

TEST_CASE("remedies: on the command line as well") {
    const std::string good =
        "format = 1\n[slot]\nx = \"6 mm\"\nlength = \"388 mm\"\nwidth = \"6 mm\"\ncd = 0.62\n";
    static const std::regex write_text(R"re(write (?:e\.g\. )?"([^"]*)")re");
    for (const std::string number : {"5",
                                     "-1",
                                     "1e308",
                                     "0",
                                     "5,5",
                                     "5 MM",
                                     "-0",
                                     "1e-300",
                                     "5mm ",
                                     "0.0",
                                     "+5",
                                     "-5 mm",
                                     "5 kPa",
                                     "nan",
                                     "inf mm",
                                     "five"}) {
        CAPTURE(number);
        std::string message;
        try {
            (void)plenair::parse_case(good, "case.toml", {"slot.width=" + number});
        } catch (const InputError& error) {
            message = error.messages().front();
        }
        std::smatch match;
        if (std::regex_search(message, match, write_text)) {
            CAPTURE(message);
            CHECK_NOTHROW(
                (void)plenair::parse_case(good, "case.toml", {"slot.width=" + match[1].str()}));
        }
    }
}

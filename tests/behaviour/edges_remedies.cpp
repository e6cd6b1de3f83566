// Remedies followed to the letter: what a message says to write is written, and must then be right.

#include "cases/file/read.hpp"
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

/// A message in its parts: "FILE:LINE:COLUMN: what".
struct Message {
    std::size_t line = 0, column = 0;
    std::string what;
};

std::optional<Message> parts_of(const std::string& message) {
    static const std::regex form(R"(^[^:]*:(\d+):(\d+): ([^]*)$)");
    std::smatch match;
    if (!std::regex_match(message, match, form)) {
        return std::nullopt;
    }
    return Message{std::stoul(match[1]), std::stoul(match[2]), match[3]};
}

std::size_t start_of_line(const std::string& text, std::size_t line) {
    std::size_t at = 0;
    for (std::size_t i = 1; i < line; ++i) {
        at = text.find('\n', at) + 1;
    }
    return at;
}

/// End of the TOML value that begins at `at`, on one line.
std::size_t end_of_value(const std::string& text, std::size_t at) {
    const char first = text.at(at);
    if (first == '"' || first == '\'') {
        return text.find(first, at + 1) + 1;
    }
    if (first == '[' || first == '{') {
        int depth = 0;
        for (std::size_t i = at; i < text.size(); ++i) {
            depth += text[i] == '[' || text[i] == '{' ? 1 : 0;
            depth -= text[i] == ']' || text[i] == '}' ? 1 : 0;
            if (depth == 0) {
                return i + 1;
            }
        }
    }
    return text.find_first_of(" \t\r\n,]}#", at);
}

/// The text with what the message says; nothing where it says no such thing.
std::optional<std::string> mended(std::string text, const Message& message) {
    static const std::regex write_text(R"re(write (?:e\.g\. )?("[^"]*"))re");
    static const std::regex missing(R"re(: missing.*write ([a-z_0-9.]+ = (?:"[^"]*"|[0-9.]+)))re");
    static const std::regex meant(R"re(unknown key ([^;]*); did you mean ([^?]*)\?$)re");
    std::smatch match;
    const std::size_t at = start_of_line(text, message.line) + message.column - 1;
    if (std::regex_search(message.what, match, missing)) {
        if (message.line == 1 && message.column == 1) {  // of the file itself
            return text.insert(0, match[1].str() + "\n");
        }
        const auto end = text.find('\n', at);
        return text.insert(end == std::string::npos ? text.size() : end + 1, match[1].str() + "\n");
    }
    if (std::regex_search(message.what, match, meant)) {
        const auto last = [](const std::string& key) { return key.substr(key.rfind('.') + 1); };
        const std::string from = last(match[1]), to = last(match[2]);
        // Where the section is misspelt, the place is its name and the last part of it the key.
        if (text.compare(at, from.size(), from) != 0) {
            return std::nullopt;
        }
        return text.replace(at, from.size(), to);
    }
    if (message.what.find(" = ") != std::string::npos &&
        std::regex_search(message.what, match, write_text)) {
        const auto end = end_of_value(text, at);
        return text.replace(at, end - at, match[1].str());
    }
    return std::nullopt;
}

}  // namespace

TEST_CASE("remedies: there are two hundred wrong files, and each message has a remedy") {
    const auto files = wrong_files();
    CHECK(files.size() >= 200);
    static const std::regex remedy(
        R"re(; |\?| write |\bmust be\b|\bcheck\b|\bUnit\b|leave|move|give|keep|add|\bname\b)re");
    for (const auto& file : files) {
        const auto messages = messages_of(file.text, file.name);
        CAPTURE(file.name);
        CHECK_FALSE(messages.empty());
        for (const auto& message : messages) {
            CAPTURE(message);
            CHECK(std::regex_search(message, remedy));
        }
    }
}

TEST_CASE("remedies: what a message says to write is accepted") {
    std::size_t followed = 0;
    for (const auto& file : wrong_files()) {
        const auto messages = messages_of(file.text, file.name);
        for (const auto& text : messages) {
            const auto message = parts_of(text);
            const auto better = message ? mended(file.text, *message) : std::nullopt;
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

#include "tests/support/remedy.hpp"

#include "geometry/error.hpp"

#include <regex>

namespace plenair::test {
namespace {

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
        const std::string three(3, first);
        return text.compare(at, 3, three) == 0 ? text.find(three, at + 3) + 3
                                               : text.find(first, at + 1) + 1;
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

std::optional<std::string> followed(std::string text, const Message& message) {
    static const std::regex write_text(R"re(write (?:e\.g\. )?("[^"]*"))re");
    static const std::regex missing(
        R"re(: missing.*write (?:e\.g\. )?([a-z_0-9.]+ = (?:"[^"]*"|[0-9.]+)))re");
    static const std::regex meant(R"re(unknown key ([^;]*); did you mean ([^?]*)\?$)re");
    std::smatch match;
    const std::size_t at = start_of_line(text, message.line) + message.column - 1;
    if (at >= text.size()) {
        return std::nullopt;
    }
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

std::vector<std::string> messages_of(const Read& read, const std::string& text) {
    try {
        read(text);
    } catch (const InputError& error) {
        return error.messages();
    }
    return {};
}

bool has_remedy(const std::string& message) {
    static const std::regex remedy(
        R"re(; |\?| write |\bmust be\b|\bcheck\b|\bUnit\b|leave|move|give|keep|add|\bname\b)re");
    return std::regex_search(message, remedy);
}

std::size_t line_of(const std::string& message) {
    const auto parts = parts_of(message);
    return parts ? parts->line : 0;
}

std::optional<std::string> mended(const std::string& text, const std::string& message) {
    const auto parts = parts_of(message);
    return parts ? followed(text, *parts) : std::nullopt;
}

}  // namespace plenair::test

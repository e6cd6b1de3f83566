#include "cases/file/document.hpp"

#include "cases/file/text.hpp"
#include "cases/file/toml.hpp"
#include "cases/file/toml_guard.hpp"

#include <array>
#include <cctype>
#include <utility>

#include <fmt/format.h>

/// From text to TOML tables, and what to say where that fails.
namespace plenair::file {
namespace {

/// The parser's words without its own names.
std::string plain(std::string_view description) {
    constexpr std::string_view lead = "Error while parsing ";
    const auto text = description.substr(0, description.find(" (TOML_"));
    return text.starts_with(lead) ? fmt::format("in {}", text.substr(lead.size()))
                                  : std::string(text);
}

/// The parser garbles quoted keys that stand twice: it records them while it looks ahead.
std::string plain(std::string_view text, const toml::parse_error& fault) {
    const std::string words = plain(fault.description());
    const auto quote = words.find('\'');
    if (!words.starts_with("in key-value pair: cannot redefine") || quote == std::string::npos) {
        return words;
    }
    return words.substr(0, quote) + "'" + key_before(text, place_of(fault.source())) + "'";
}

/// First line that opens a table header and goes on with something else than a key.
Place bad_header(std::string_view text) {
    constexpr std::string_view blank = " \t";
    int line = 1;
    for (const auto& row : split(text, '\n')) {
        const auto bracket = row.find_first_not_of(blank);
        if (bracket != std::string::npos && row[bracket] == '[') {
            const auto next = row.find_first_not_of(" \t[", bracket);
            const char c = next == std::string::npos ? '=' : row[next];
            const bool key = std::isalnum(static_cast<unsigned char>(c)) != 0 ||
                             std::string_view("_-\"'").find(c) != std::string_view::npos;
            if (!key) {
                return {line, static_cast<int>(bracket) + 1};
            }
        }
        ++line;
    }
    return {1, 1};
}

/// How to mend what the parser found, by a word of what it says; the first that fits.
std::string remedy_of(std::string_view words) {
    using Remedy = std::pair<std::string_view, std::string_view>;
    constexpr std::array remedies{
        Remedy{"redefine existing table", "keep one of the two, with the keys of both below it"},
        Remedy{"redefine existing", "leave one of them out"},
        Remedy{"utf-8", "save the file as UTF-8"},
        Remedy{"in comment: control", "leave the character out"},
        Remedy{"in comment: unicode", "leave the character out"},
        Remedy{"string: unescaped control", "close the quote before the end of the line"},
        Remedy{"string: control", "close the quote before the end of the line"},
        Remedy{"escape sequence", "write \\\\ for a backslash, or put the text in single quotes"},
        Remedy{"hex digit", "write four digits after \\u, or \\\\ for a backslash"},
        Remedy{"surrogate", "write another character"},
        Remedy{"U+10FFFF", "write another character"},
        Remedy{"line-ending backslash", "write \\\\ for a backslash"},
        Remedy{"in string: encountered end-of-file", "close the quote"},
        Remedy{"string: encountered end-of-file", "close the quote"},
        Remedy{"array: encountered end-of-file", "close the list with ]"},
        Remedy{"inline table: encountered end-of-file", "close the table with } on the same line"},
        Remedy{"table header: encountered end-of-file", "close the header with ]"},
        Remedy{"nested value depth", "close some with ]"},
        Remedy{"in array", "write commas between the values and ] behind the last"},
        Remedy{"in inline table", "write { key = value, key = value } on one line"},
        Remedy{"multi-line strings", "write the key in plain quotes"},
        Remedy{"in key:", "write keys with a-z, 0-9, _ and -"},
        Remedy{"blank bare keys", "name the section, e.g. [slot]"},
        Remedy{"table header: expected ']'", "close the header with ]"},
        Remedy{"brackets must be contiguous", "write e.g. [[point]]"},
        Remedy{"table header", "write e.g. [slot], alone on its line"},
        Remedy{"after '\\r'", "save the file with one kind of line end"},
        Remedy{"expected '='", "write key = value"},
        Remedy{"leading zeroes", "leave the zeroes before the number out"},
        Remedy{"underscores", "leave the underscore out"},
        Remedy{"representable", "check the number"},
        Remedy{"length limit", "write the number with fewer digits"},
        Remedy{"too long to identify", "write the number with fewer digits"},
        Remedy{"date", "put text in quotes"},
        Remedy{"time", "put text in quotes"},
        Remedy{"in boolean", "put text in quotes"},
        Remedy{"expected a comment or whitespace",
               "put text and quantities in quotes, and # before a remark"},
        Remedy{"expected keys, tables", "write key = value, [section], or # before a remark"},
    };
    for (const auto& [word, remedy] : remedies) {
        if (words.find(word) != std::string_view::npos) {
            return std::string(remedy);
        }
    }
    return "put text and quantities in quotes, write numbers without";
}

/// A header without a key is the one thing that the parser takes for impossible and a person
/// writes.
std::string impossible(std::string_view text, Place& place) {
    place = bad_header(text);
    return "not valid TOML: a table header without a key; write e.g. [slot]";
}

}  // namespace

std::optional<toml::table> parse_toml(std::string_view text,
                                      const std::vector<std::string>& sets,
                                      Messages& messages) {
    if (const auto fault = sign_fault(text)) {
        messages.error(fault->place, "not valid TOML: " + fault->text);
        return std::nullopt;
    }
    try {
        auto table = toml::parse(text);
        for (const auto& set : sets) {
            apply_set(table, set, messages);
        }
        return table;
    } catch (const toml::parse_error& fault) {
        const std::string words = plain(text, fault);
        messages.error(place_of(fault.source()),
                       fmt::format("not valid TOML: {}; {}", words, remedy_of(words)));
        return std::nullopt;
    } catch (const ParserFault&) {
        Place place;
        const std::string what = impossible(text, place);
        messages.error(place, what);
        return std::nullopt;
    }
}

}  // namespace plenair::file

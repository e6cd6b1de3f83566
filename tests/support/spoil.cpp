#include "tests/support/spoil.hpp"

#include "tests/support/text.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <optional>
#include <string_view>
#include <utility>

namespace plenair::test {
namespace {

/// "key = value  # remark" in its parts.
struct Entry {
    std::string key, value, rest;

    [[nodiscard]] std::string line() const { return key + " = " + value + rest; }
};

/// End of a value: the first # outside quotes, without the blanks before it.
std::size_t end_of_value(const std::string& line, std::size_t begin) {
    char quote = 0;
    std::size_t end = begin;
    for (std::size_t i = begin; i < line.size(); ++i) {
        const char c = line[i];
        if (quote == 0 && c == '#') {
            break;
        }
        if (c == '"' || c == '\'') {
            quote = quote == 0 ? c : quote == c ? '\0' : quote;
        }
        end = c == ' ' ? end : i + 1;
    }
    return end;
}

std::optional<Entry> entry_of(const std::string& line) {
    const auto sign = line.find(" = ");
    if (sign == std::string::npos || line.starts_with('#')) {
        return std::nullopt;
    }
    const auto end = end_of_value(line, sign + 3);
    return Entry{line.substr(0, sign), line.substr(sign + 3, end - sign - 3), line.substr(end)};
}

bool digit(char c) {
    return std::isdigit(static_cast<unsigned char>(c)) != 0;
}

/// The first number of a value, as [begin, end).
std::optional<std::pair<std::size_t, std::size_t>> number_in(const std::string& value) {
    const auto begin = std::find_if(value.begin(), value.end(), digit);
    if (begin == value.end() || (begin != value.begin() && std::isalpha(*(begin - 1)) != 0)) {
        return std::nullopt;
    }
    const auto end = std::find_if(
        begin, value.end(), [](char c) { return !digit(c) && c != '.' && c != 'e' && c != '-'; });
    return std::pair(static_cast<std::size_t>(begin - value.begin()),
                     static_cast<std::size_t>(end - value.begin()));
}

using Ways = std::vector<std::pair<std::string, std::string>>;

/// Ways to spoil a value by itself: what was done, and the value then.
Ways spoilt_values(const std::string& value) {
    Ways ways;
    for (const char* other : {"true",
                              "7",
                              "-7",
                              "\"word\"",
                              "\"\"",
                              "\" \"",
                              "[]",
                              "[1, 2]",
                              "[\"a\", 1]",
                              "{}",
                              "{ a = 1 }",
                              "1979-05-27",
                              "nan",
                              "-inf",
                              "\"inf\"",
                              "\"1e999 mm\"",
                              "\"6\\u0000 mm\"",
                              "\"\\u001b[31m6 mm\"",
                              "0x10",
                              "[[1]]",
                              "'''6 mm'''"}) {
        ways.emplace_back(std::string("is ") + other, other);
    }
    if (const auto number = number_in(value)) {
        const std::string before = value.substr(0, number->first);
        const std::string after = value.substr(number->second);
        const std::string digits = value.substr(number->first, number->second - number->first);
        for (const auto& other : std::vector<std::string>{"0",
                                                          "-" + digits,
                                                          digits + "e9",
                                                          digits + "e-9",
                                                          digits + "e308",
                                                          "nan",
                                                          "inf",
                                                          digits + "," + digits,
                                                          digits + " " + digits,
                                                          "+" + digits,
                                                          "." + digits,
                                                          digits + ".",
                                                          "0" + digits,
                                                          digits + "\u2009",
                                                          "\u2212" + digits,
                                                          "\uff16",
                                                          digits + "'000",
                                                          digits + "_0"}) {
            ways.emplace_back("number " + other, before + other + after);
        }
    }
    if (value.starts_with('"') && value.size() > 3) {
        const std::string inside = value.substr(1, value.size() - 2);
        const auto space = inside.rfind(' ');
        const auto with = [&](const std::string& how, const std::string& text) {
            ways.emplace_back(how, "\"" + text + "\"");
        };
        with("open quote", inside + "\\");
        with("repeated", inside + ", " + inside);
        with("comma", inside + ",");
        if (space != std::string::npos) {
            const std::string number = inside.substr(0, space), unit = inside.substr(space + 1);
            std::string capitals = unit;
            std::transform(unit.begin(), unit.end(), capitals.begin(), [](unsigned char c) {
                return static_cast<char>(std::toupper(c));
            });
            with("no unit", number);
            with("no space", number + unit);
            with("unit first", unit + " " + number);
            with("unit twice", inside + " " + unit);
            with("unit in capitals", number + " " + capitals);
            with("unit misspelt", number + " " + unit + unit.back());
            with("no-break space", number + "\u00a0" + unit);
            for (const char* other : {"mm",
                                      "kPa",
                                      "kPa abs",
                                      "K",
                                      "deg",
                                      "rpm",
                                      "%",
                                      "furlong",
                                      "\u00b5m",
                                      "\u00b0C",
                                      "mm\u00b2",
                                      "\u2033"}) {
                with(std::string("unit ") + other, number + " " + other);
            }
        }
        ways.emplace_back("no quotes", inside);
        ways.emplace_back("one quote", "\"" + inside);
        ways.emplace_back("curly quotes", "\u201c" + inside + "\u201d");
    }
    if (value.starts_with('[')) {
        const auto comma = value.rfind(',');
        if (comma != std::string::npos) {
            ways.emplace_back("last left out", value.substr(0, comma) + "]");
        }
        ways.emplace_back("one more", value.substr(0, value.size() - 1) + ", 5]");
        ways.emplace_back("open list", value.substr(0, value.size() - 1));
    }
    if (value.starts_with('{')) {
        const auto comma = value.rfind(", ");
        if (comma != std::string::npos) {
            ways.emplace_back("last left out", value.substr(0, comma) + " }");
        }
        ways.emplace_back("one more", value.substr(0, value.size() - 1) + ", width = \"6 mm\" }");
        ways.emplace_back("key misspelt", "{ x" + value.substr(2));
        ways.emplace_back("open table", value.substr(0, value.size() - 1));
    }
    return ways;
}

/// Those of them that leave the number as it is.
constexpr std::array unit_ways{std::string_view("no unit"),
                               std::string_view("no space"),
                               std::string_view("unit twice"),
                               std::string_view("unit in capitals"),
                               std::string_view("unit misspelt"),
                               std::string_view("no-break space")};

/// Ways to spoil the whole line of an entry.
Ways spoilt_lines(const Entry& entry, const std::string& next) {
    const std::string line = entry.line();
    const std::string after = " = " + entry.value + entry.rest;
    std::string swapped = entry.key;
    if (swapped.size() > 2) {
        std::swap(swapped[swapped.size() - 2], swapped[swapped.size() - 1]);
    }
    Ways ways{
        {"left out", ""},
        {"stands twice", line + "\n" + line},
        {"letters swapped", swapped + after},
        {"letter left out", entry.key.substr(0, entry.key.size() - 1) + after},
        {"in capitals",
         std::string(
             1, static_cast<char>(std::toupper(static_cast<unsigned char>(entry.key.front())))) +
             entry.key.substr(1) + after},
        {"another alphabet", entry.key + "\u0430" + after},
        {"dash", entry.key + "-" + after},
        {"colon", entry.key + ": " + entry.value},
        {"no sign", entry.key + " " + entry.value},
        {"two signs", entry.key + " == " + entry.value},
        {"no value", entry.key + " ="},
        {"deeper", entry.key + ".x" + after},
        {"semicolon", line + ";"},
        {"another way to end", line + "\r"}};
    if (!next.empty()) {
        ways.emplace_back("value of the next", entry.key + " = " + next);
    }
    return ways;
}

}  // namespace

std::vector<Spoilt> spoilt(const std::string& text) {
    const auto lines = split(text, '\n');
    std::vector<Spoilt> all;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const auto entry = entry_of(lines[i]);
        if (!entry) {
            continue;
        }
        const auto next = i + 1 < lines.size() ? entry_of(lines[i + 1]) : std::nullopt;
        Ways ways = spoilt_lines(*entry, next ? next->value : "");
        for (auto& [how, value] : spoilt_values(entry->value)) {
            ways.emplace_back(how, entry->key + " = " + value + entry->rest);
        }
        std::string before, after;
        for (std::size_t j = 0; j < lines.size(); ++j) {
            (j < i ? before : after) += j == i ? "" : lines[j] + "\n";
        }
        for (auto& [how, line] : ways) {
            const bool same_number =
                std::find(unit_ways.begin(), unit_ways.end(), how) != unit_ways.end();
            all.push_back({"line " + std::to_string(i + 1) + ", " + entry->key + ": " + how,
                           i + 1,
                           before + line + "\n" + after,
                           same_number});
        }
    }
    return all;
}

}  // namespace plenair::test

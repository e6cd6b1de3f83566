#include "cases/file/value.hpp"

#include "cases/file/toml.hpp"
#include "cases/file/toml_write.hpp"

#include <algorithm>
#include <cmath>
#include <sstream>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace plenair::file {
namespace {

std::string one_line(std::string_view text) {
    constexpr std::size_t longest = 60;
    std::string line;
    for (const char c : text) {
        const bool blank = c == ' ' || c == '\n';
        if (!blank) {
            line += c;
        } else if (line.empty() || line.back() != ' ') {
            line += ' ';
        }
        if (line.size() > 2 * longest) {
            break;
        }
    }
    if (line.size() > longest) {
        line.resize(longest);
        // A cut must not leave half of a multi-byte character behind.
        while (!line.empty() && (static_cast<unsigned char>(line.back()) & 0x80) != 0) {
            line.pop_back();
        }
        line += "...";
    }
    return line;
}

/// Line ends, and what blanks stand around them, as one space.
std::string single_line(const std::string& text) {
    std::string line;
    for (const char c : text) {
        if (c != '\n') {
            line += c;
            continue;
        }
        line.resize(line.find_last_not_of(" \t\r") + 1);
        line += line.empty() ? "" : " ";
    }
    return line;
}

/// "54.5, 151.5 mm" as "2.15, 5.96 in" in a case in inches.
std::string in_units(std::string_view text, const geometry::OutputUnits& units) {
    const auto last = text.rfind(' ');
    const auto unit = last == std::string_view::npos ? text : text.substr(last + 1);
    const auto other = units.in_place_of(unit);
    const auto dimension = unit == "mm" ? Dimension::length : Dimension::area;
    const auto list = unit == "mm" || unit == "mm2" ? geometry::parse_list(text, dimension)
                                                    : geometry::ListOutcome{};
    if (other == unit || !list.values) {
        return std::string(text);
    }
    constexpr int digits = 3;
    std::vector<std::string> shown;
    for (const double value : *list.values) {
        shown.push_back(geometry::format_in(value, other, digits));
    }
    return fmt::format("{} {}", fmt::join(shown, ", "), other);
}

/// Whole numbers that were written otherwise, "4.0", or as the list "1-3-4-2": as they should
/// stand; empty where it is something else.
std::string whole_meant(const toml::node& node, bool of_list) {
    constexpr double largest = 1e15;  // beyond, not every whole number is a double
    if (const auto* number = node.as_floating_point()) {
        const double value = number->get();
        const bool whole = value == std::floor(value) && std::abs(value) < largest;
        return whole && !of_list ? fmt::format("{:.0f}", value) : "";
    }
    if (const auto* whole = node.as_integer()) {
        return of_list ? "" : fmt::format("{}", whole->get());
    }
    std::vector<std::string> items;
    if (const auto* list = node.as_array(); list && of_list) {
        for (const auto& item : *list) {
            items.push_back(whole_meant(item, false));
        }
    } else if (const auto* text = node.as_string()) {
        std::string words = text->get();
        std::replace_if(
            words.begin(),
            words.end(),
            [](char c) { return c == '-' || c == ',' || c == ' '; },
            '\n');
        for (const auto& word : split(words, '\n')) {
            const bool digits =
                std::all_of(word.begin(), word.end(), [](char c) { return c >= '0' && c <= '9'; });
            if (!word.empty()) {
                items.push_back(digits && word.size() < 5 ? word : "");
            }
        }
        if (!of_list || items.size() == 1) {
            return items.size() == 1 && !of_list ? items.front() : "";
        }
    }
    const bool all =
        !items.empty() &&
        std::none_of(items.begin(), items.end(), [](const auto& item) { return item.empty(); });
    return all ? fmt::format("[{}]", fmt::join(items, ", ")) : "";
}

/// Of a name without quotes: the same in quotes, as an example may be a name already in use. A
/// shell takes quotes away that stand in no others.
std::string quoted_name(const Value& value) {
    const auto name = toml_string(value.text);
    return value.place.line > 0 ? fmt::format("; write {}", name)
                                : fmt::format("; write --set '{}={}'", value.shown, name);
}

/// "[1, 3]" as "[1.0, 3.0]": what was written with points, which texts of numbers do not show.
std::string with_points(const std::string& whole) {
    std::string text;
    for (std::size_t i = 0; i < whole.size(); ++i) {
        const auto digit = [&](std::size_t at) {
            return at < whole.size() && whole[at] >= '0' && whole[at] <= '9';
        };
        text += whole[i];
        text += digit(i) && !digit(i + 1) ? ".0" : "";
    }
    return text;
}

}  // namespace

std::string toml_text(const toml::node& node) {
    std::string inner;
    if (const auto* list = node.as_array()) {
        for (const auto& item : *list) {
            inner += (inner.empty() ? "" : ", ") + toml_text(item);
        }
        return "[" + inner + "]";
    }
    if (const auto* table = node.as_table()) {
        for (const auto& [name, value] : *table) {
            inner += fmt::format(
                "{} {} = {}", inner.empty() ? "" : ",", toml_key(name.str()), toml_text(value));
        }
        return "{" + inner + " }";
    }
    if (const auto* number = node.as_floating_point()) {
        return geometry::format_number(number->get(), 15);
    }
    if (const auto* text = node.as_string()) {
        return toml_string(text->get());
    }
    std::ostringstream out;
    node.visit([&out](const auto& n) { out << n; });
    return out.str();
}

std::string short_text(const toml::node& node) {
    if (const auto* text = node.as_string()) {
        const auto line = one_line(text->get());
        return line.empty() ? "\"\"" : line;
    }
    return one_line(toml_text(node));
}

Place place_of(const toml::source_region& source) {
    return {static_cast<int>(source.begin.line), static_cast<int>(source.begin.column)};
}

std::string example_in(std::string_view example, const geometry::OutputUnits& units) {
    std::string shown;
    for (std::size_t i = 0; !example.empty(); ++i) {
        const auto end = std::min(example.find('"'), example.size());
        const auto part = example.substr(0, end);
        // Every second part stands in quotes.
        shown += i % 2 == 1 ? in_units(part, units) : std::string(part);
        example.remove_prefix(end);
        if (!example.empty()) {
            shown += '"';
            example.remove_prefix(1);
        }
    }
    return shown;
}

std::string example_of(const Key& key, const geometry::OutputUnits& units) {
    return key.example.empty() ? std::string{}
                               : fmt::format("; write e.g. {}", example_in(key.example, units));
}

void ValueReader::fail(Value& value, const std::string& rule) {
    messages_.error(value.place, fmt::format("{} = {}: {}", value.shown, value.text, rule));
    value.good = false;
}

geometry::PressureContext ValueReader::context_for(const Key& key) const {
    geometry::PressureContext context = context_;
    context.kind =
        key.difference ? geometry::PressureKind::difference : geometry::PressureKind::absolute;
    if (const auto density = densities_.find(key.name); density != densities_.end()) {
        context.fuel_density = density->second;
    }
    return context;
}

Value ValueReader::read(const Key& key, const std::string& shown, const toml::node& node) {
    Value value;
    value.key = &key;
    value.shown = shown;
    value.text = short_text(node);
    value.place = place_of(node.source());
    switch (key.kind) {
        case Kind::text:
        case Kind::choice:
        case Kind::choices:
            read_words(value, node);
            break;
        case Kind::flag:
            read_flag(value, node);
            break;
        case Kind::integer:
        case Kind::integers:
            read_whole(value, node);
            break;
        case Kind::number:
        case Kind::numbers:
            read_numbers(value, node);
            break;
        case Kind::quantity:
        case Kind::quantities:
            read_quantity(value, node);
            break;
        case Kind::profile:
        case Kind::taper:
            read_shape(value, node);
            break;
        case Kind::over_speed:
            read_over_speed(value, node);
            break;
        case Kind::table:
            read_table(value, node);
            break;
        case Kind::list:
            break;
    }
    if (value.good) {
        check_limits(value);
    }
    return value;
}

void ValueReader::read_words(Value& value, const toml::node& node) {
    const Key& key = *value.key;
    if (const auto* word = node.as_string()) {
        value.words.push_back(word->get());
    } else if (const auto* list = node.as_array(); list && key.kind == Kind::choices) {
        for (const auto& item : *list) {
            value.words.push_back(item.value_or(short_text(item)));
        }
    } else {
        fail(value,
             "must be text in quotes" + (key.name.ends_with(".name") && node.is_value()
                                             ? quoted_name(value)
                                             : example_of(key, context_.units)));
        return;
    }
    if (key.kind == Kind::text) {
        if (value.word().find('\0') != std::string::npos) {
            fail(value, "holds the character U+0000; leave it out");
        } else if (key.name != "case.notes") {
            // A title or a name is one line wherever it is shown.
            value.words.front() = single_line(value.word());
        }
        return;
    }
    const auto choices = split(key.choices, '|');
    const bool open = key.choices.find('<') != std::string_view::npos;
    for (const auto& word : value.words) {
        if (open || std::find(choices.begin(), choices.end(), word) != choices.end()) {
            continue;
        }
        const auto near = nearest_word(word, choices);
        fail(value,
             fmt::format("must be {}{}",
                         fmt::join(choices, " or "),
                         near.empty() ? example_of(key, context_.units)
                                      : fmt::format("; did you mean \"{}\"?", near)));
        return;
    }
}

void ValueReader::read_flag(Value& value, const toml::node& node) {
    const auto word = node.value<std::string>();
    const auto flag = node.as_boolean();
    if (flag) {
        value.numbers.push_back(flag->get() ? 1 : 0);
    } else if (word == "on" || word == "off") {
        value.numbers.push_back(word == "on" ? 1 : 0);
    } else {
        fail(value, "must be \"on\" or \"off\"");
    }
}

void ValueReader::read_whole(Value& value, const toml::node& node) {
    const Key& key = *value.key;
    const auto* list = key.kind == Kind::integers ? node.as_array() : nullptr;
    const auto add = [&value](const toml::node& item) {
        const auto* whole = item.as_integer();
        if (whole) {
            value.numbers.push_back(static_cast<double>(whole->get()));
        }
        return whole != nullptr;
    };
    if (list && too_long(value, list->size())) {
        return;
    }
    const bool whole = key.kind == Kind::integers
                           ? list && !list->empty() && std::all_of(list->begin(), list->end(), add)
                           : add(node);
    if (whole) {
        return;
    }
    if (const auto meant = whole_meant(node, key.kind == Kind::integers); !meant.empty()) {
        if (value.text == meant) {
            value.text = node.is_string() ? toml_text(node) : with_points(meant);
        }
        fail(value,
             fmt::format("must be {} without quotes, point and exponent; write {}",
                         key.kind == Kind::integers ? "a list of whole numbers" : "a whole number",
                         meant));
    } else {
        fail(value,
             (key.kind == Kind::integers ? "must be a list of whole numbers"
                                         : "must be a whole number") +
                 example_of(key, context_.units));
    }
}

bool ValueReader::add_number(Value& value, const toml::node& node) {
    const auto* whole = node.as_integer();  // also one that no double holds to its last digit
    const auto number =
        whole ? std::optional(static_cast<double>(whole->get())) : node.value<double>();
    if (!node.is_number() || !number) {
        fail(value,
             "must be a number without quotes or unit" + example_of(*value.key, context_.units));
        return false;
    }
    if (!std::isfinite(*number)) {
        fail(value, "not a finite number" + example_of(*value.key, context_.units));
        return false;
    }
    value.numbers.push_back(*number);
    return true;
}

bool ValueReader::too_long(Value& value, std::size_t items) {
    constexpr std::size_t most_items = 10000;
    if (items <= most_items) {
        return false;
    }
    fail(value,
         fmt::format("{} items; at most {} are read, take the others out", items, most_items));
    return true;
}

void ValueReader::read_numbers(Value& value, const toml::node& node) {
    const auto* list = node.as_array();
    if (!list || value.key->kind == Kind::number) {
        (void)add_number(value, node);
        return;
    }
    if (too_long(value, list->size())) {
        return;
    }
    for (const auto& item : *list) {
        if (!add_number(value, item)) {
            return;
        }
    }
    if (list->empty()) {
        fail(value, "is an empty list" + example_of(*value.key, context_.units));
    }
}

}  // namespace plenair::file

#include "cases/file/toml.hpp"
#include "cases/file/value.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>
#include <fmt/ranges.h>

/// Entries with a unit, alone, along x, or as a table.
namespace plenair::file {
namespace {

constexpr std::string_view no_reference = "neither gauge nor absolute";

/// What the remedy says to write: the text in quotes behind "write".
std::optional<std::string> written_in(const std::string& remedy) {
    const std::string lead = "write \"";
    const auto begin = remedy.find(lead);
    const auto end = begin == std::string::npos ? begin : remedy.find('"', begin + lead.size());
    return end == std::string::npos
               ? std::nullopt
               : std::optional(remedy.substr(begin + lead.size(), end - begin - lead.size()));
}

/// The remedy with the whole entry to write, where it names the right unit alone: of "6 MM", "mm is
/// meant" becomes "6 mm".
std::string whole_remedy(const std::string& text,
                         const std::string& problem,
                         const std::string& remedy) {
    const auto unit = written_in(remedy);
    const auto end = problem.starts_with('"') ? problem.find('"', 1) : std::string::npos;
    if (!unit || end == std::string::npos ||
        unit->find_first_of("+-.0123456789") == 0) {  // a number, and no unit such as mm2
        return remedy;
    }
    const std::string wrong = problem.substr(1, end - 1);
    const auto at = text.rfind(wrong);
    if (at == std::string::npos || at == 0) {
        return remedy;
    }
    const std::string before = text.substr(0, at);
    return fmt::format("write \"{}{}{}{}\"",
                       before,
                       before.ends_with(' ') ? "" : " ",
                       *unit,
                       text.substr(at + wrong.size()));
}

/// Numbers without quotes as one list text: their unit is missing, and the remedy can show them.
std::string joined(const toml::node& node) {
    if (const auto* list = node.as_array()) {
        std::string text;
        for (const auto& item : *list) {
            text += (text.empty() ? "" : ", ") + short_text(item);
        }
        return text;
    }
    return short_text(node);
}

/// How many values stand in a list, be it written as one text or as several.
std::size_t values_in(const toml::node& node) {
    if (const auto* items = node.as_array()) {
        return items->size();
    }
    std::size_t count = 1;
    const auto text = node.value<std::string>().value_or("");
    for (auto at = text.find(", "); at != std::string::npos; at = text.find(", ", at + 1)) {
        ++count;
    }
    return count;
}

bool all_numbers(const toml::node& node) {
    const auto* list = node.as_array();
    return node.is_number() ||
           (list && !list->empty() && std::all_of(list->begin(), list->end(), [](const auto& item) {
                return item.is_number();
            }));
}

}  // namespace

std::string ValueReader::tried(const Key& key,
                               const std::string& problem,
                               const std::string& remedy,
                               Dimension dimension) const {
    const auto rule = remedy.empty() ? problem : problem + "; " + remedy;
    const auto text = written_in(remedy);
    if (!text) {
        return rule;
    }
    const auto outcome = geometry::parse_list(*text, dimension, context_for(key));
    std::string second = outcome.problem;
    if (outcome.values && dimension == key.dimension) {
        for (const double number : *outcome.values) {
            if (second.empty()) {
                second = limit_fault(key, *text, number).value_or("");
            }
        }
    }
    if (second.empty()) {
        return rule;
    }
    const bool has_remedy = second.find("rite ") != std::string::npos;
    return fmt::format(
        "{}, and {}{}", problem, second, has_remedy ? "" : example_of(key, context_.units));
}

std::vector<double> ValueReader::list(Value& value, const toml::node& node, Dimension dimension) {
    const auto context = context_for(*value.key);
    const auto parse = [&](const std::string& text) {
        const auto outcome = geometry::parse_list(text, dimension, context);
        if (!outcome.values) {
            const std::string remedy = whole_remedy(text, outcome.problem, outcome.remedy);
            // Limits of the entry are not those of its places along x.
            fail(value,
                 value.shown.ends_with(".x") && !value.key->name.ends_with(".x")
                     ? fmt::format("{}; {}", outcome.problem, remedy)
                     : tried(*value.key, outcome.problem, remedy, dimension));
        }
        auto numbers = outcome.values.value_or(std::vector<double>{});
        return too_long(value, numbers.size()) ? std::vector<double>{} : std::move(numbers);
    };
    if (const auto* text = node.as_string()) {
        return parse(text->get());
    }
    if (all_numbers(node)) {
        if (const auto* items = node.as_array(); items && too_long(value, items->size())) {
            return {};
        }
        return parse(joined(node));
    }
    std::vector<double> numbers;
    if (const auto* items = node.as_array(); items && !items->empty()) {
        if (too_long(value, items->size())) {
            return {};
        }
        for (const auto& item : *items) {
            const auto part = item.is_string() && value.good ? parse(*item.value<std::string>())
                                                             : std::vector<double>{};
            if (part.size() != 1 && value.good) {
                fail(value,
                     "each item must be one quantity in quotes" +
                         example_of(*value.key, context_.units));
            }
            numbers.insert(numbers.end(), part.begin(), part.end());
        }
        return numbers;
    }
    fail(value, "must be text in quotes with a unit" + example_of(*value.key, context_.units));
    return {};
}

void ValueReader::read_quantity(Value& value, const toml::node& node) {
    const Key& key = *value.key;
    if (key.kind == Kind::quantities) {
        value.numbers = list(value, node, key.dimension);
        return;
    }
    if (!node.is_string() && !node.is_number()) {
        fail(value, "must be text in quotes with a unit" + example_of(key, context_.units));
        return;
    }
    const auto text = node.is_string() ? *node.value<std::string>() : short_text(node);
    if (!key.choices.empty() && text == key.choices) {
        value.words.push_back(text);
        return;
    }
    auto outcome = geometry::parse_quantity(text, key.dimension, context_for(key));
    if (!outcome.value && outcome.problem == no_reference) {
        // Above the limit even as an absolute pressure: the unit is the likelier mistake.
        const auto absolute =
            geometry::parse_quantity(text + " abs", key.dimension, context_for(key));
        if (absolute.value && limit_fault(key, text, *absolute.value)) {
            outcome = absolute;
        }
    }
    if (!outcome.value) {
        fail(value,
             tried(key,
                   outcome.problem,
                   whole_remedy(text, outcome.problem, outcome.remedy),
                   key.dimension));
        return;
    }
    value.numbers.push_back(*outcome.value);
}

bool ValueReader::only_columns(Value& value,
                               const toml::table& table,
                               const std::vector<std::string>& names) {
    for (const auto& [name, node] : table) {
        if (std::find(names.begin(), names.end(), name.str()) == names.end()) {
            const auto near = nearest_word(name.str(), names);
            messages_.error(
                place_of(name.source()),
                fmt::format(
                    "unknown key {}.{}{}",
                    value.shown,
                    name.str(),
                    near.empty()
                        ? fmt::format("; leave it out, and write {}", fmt::join(names, " and "))
                        : fmt::format("; did you mean {}.{}?", value.shown, near)));
            value.good = false;
        }
    }
    for (const auto& name : names) {
        if (value.good && !table.contains(name)) {
            fail(value,
                 fmt::format("{} is missing{}", name, example_of(*value.key, context_.units)));
            return false;
        }
    }
    return value.good;
}

std::vector<double> ValueReader::column(Value& value,
                                        const toml::table& table,
                                        const std::string& name,
                                        Dimension dimension) {
    const toml::node& node = *table.get(name);
    Value part;
    part.key = value.key;
    part.shown = value.shown + "." + name;
    part.text = short_text(node);
    part.place = place_of(node.source());
    std::vector<double> numbers;
    if (dimension == Dimension::none) {
        const auto* items = node.as_array();
        const bool plain = items && !items->empty() &&
                           std::all_of(items->begin(), items->end(), [&](const auto& item) {
                               return add_number(part, item);
                           });
        if (!plain && part.good) {
            fail(part, "must be a list of numbers" + example_of(*value.key, context_.units));
        }
        numbers = part.numbers;
    } else {
        numbers = list(part, node, dimension);
    }
    value.good = value.good && part.good;
    return numbers;
}

void ValueReader::read_shape(Value& value, const toml::node& node) {
    const Key& key = *value.key;
    const auto* table = node.as_table();
    if (const auto text = node.value<std::string>();
        text && key.kind == Kind::profile && text->find(", ") == std::string::npos) {
        read_quantity(value, node);
        return;
    }
    if (!table) {
        // Said first: what else is wrong with a list must not be mended for nothing.
        if (const auto count = key.kind == Kind::profile ? values_in(node) : 1; count > 1) {
            fail(value,
                 fmt::format("{} values without stations; write {{ x = \"...\", value = "
                             "\"...\" }}",
                             count));
            return;
        }
        value.numbers = list(value, node, key.dimension);
        return;
    }
    if (key.kind == Kind::taper && (table->contains("start") || table->contains("end"))) {
        value.form = Form::taper;
        if (only_columns(value, *table, {"start", "end"})) {
            value.numbers = column(value, *table, "start", key.dimension);
            value.ends = column(value, *table, "end", key.dimension);
        }
        if (value.good && value.numbers.size() != value.ends.size()) {
            fail(value,
                 fmt::format("{} starts but {} ends; give as many of each",
                             value.numbers.size(),
                             value.ends.size()));
        }
        return;
    }
    value.form = Form::stations;
    if (only_columns(value, *table, {"x", "value"})) {
        value.x = column(value, *table, "x", Dimension::length);
        value.numbers = column(value, *table, "value", key.dimension);
        check_stations(
            value, "x", "value", geometry::usual_unit(Dimension::length, context_.units));
    }
}

void ValueReader::read_over_speed(Value& value, const toml::node& node) {
    const Key& key = *value.key;
    const auto* table = node.as_table();
    if (!table && key.dimension == Dimension::none) {
        (void)add_number(value, node);
    } else if (!table) {
        read_quantity(value, node);
    } else if (only_columns(value, *table, {"speed", "value"})) {
        value.form = Form::stations;
        value.x = column(value, *table, "speed", Dimension::speed);
        value.numbers = column(value, *table, "value", key.dimension);
        check_stations(value, "speed", "value", "rpm");
    }
}

void ValueReader::read_table(Value& value, const toml::node& node) {
    const auto names = split(value.key->choices, '|');
    const auto* table = node.as_table();
    if (!table) {
        fail(value,
             fmt::format("must be a table of {} and {}{}",
                         names[0],
                         names[1],
                         example_of(*value.key, context_.units)));
        return;
    }
    if (!only_columns(value, *table, names)) {
        return;
    }
    value.form = Form::stations;
    value.x = column(value, *table, names[0], column_dimension(names[0]));
    value.numbers = column(value, *table, names[1], column_dimension(names[1]));
    check_stations(value,
                   names[0],
                   names[1],
                   names[0] == "angle"  ? "deg"
                   : names[0] == "time" ? "ms"
                                        : "");
}

void ValueReader::check_stations(Value& value,
                                 const std::string& x_name,
                                 const std::string& value_name,
                                 std::string_view unit) {
    if (!value.good) {
        return;
    }
    const auto show = [unit](double number) {
        return unit.empty() ? geometry::format_number(number)
                            : fmt::format("{} {}", geometry::format_in(number, unit), unit);
    };
    if (value.x.size() != value.numbers.size()) {
        fail(value,
             fmt::format("{} entries of {} but {} of {}; give as many of each",
                         value.x.size(),
                         x_name,
                         value.numbers.size(),
                         value_name));
        return;
    }
    for (std::size_t i = 0; i < value.x.size(); ++i) {
        if (i == 0 && value.x[0] < 0) {
            fail(value,
                 fmt::format(
                     "{} row 1 ({}) is negative; begin at 0 or above", x_name, show(value.x[0])));
            return;
        }
        if (i > 0 && value.x[i] <= value.x[i - 1]) {
            fail(value,
                 fmt::format("{} row {} ({}) is not above row {} ({}); list the rows in "
                             "rising order",
                             x_name,
                             i + 1,
                             show(value.x[i]),
                             i,
                             show(value.x[i - 1])));
            return;
        }
    }
}

}  // namespace plenair::file

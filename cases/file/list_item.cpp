#include "cases/file/list_item.hpp"

#include "cases/base/whole_number.hpp"
#include "cases/file/sweep_axes.hpp"
#include "cases/file/toml.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

namespace plenair::file {
namespace {

std::string no_item(const std::string& shown, std::size_t item, std::size_t count) {
    return fmt::format("{0}.{1}: there {2} {3} of them; write {0}.1{4}",
                       shown,
                       item + 1,
                       count == 1 ? "is" : "are",
                       count,
                       count == 1 ? "" : fmt::format(" to {}.{}", shown, count));
}

std::string no_list(const std::string& shown, std::size_t item) {
    return fmt::format(
        "{0}.{1}: {0} is a table, not a list; set the whole of {0}", shown, item + 1);
}

/// Each value of an entry as text or number of its own: "1.98, 5.44 in" has two.
toml::array items_of(const toml::node& node) {
    toml::array items;
    if (const auto* list = node.as_array()) {
        for (const auto& item : *list) {
            item.visit([&items](const auto& value) { items.push_back(value); });
        }
        return items;
    }
    const auto text = node.value<std::string>();
    if (!text || !node.is_string()) {
        node.visit([&items](const auto& value) { items.push_back(value); });
        return items;
    }
    const auto comma = text->rfind(", ");
    const auto last = number_and_unit(comma == std::string::npos ? *text : text->substr(comma + 2));
    std::string_view rest = *text;
    while (!rest.empty()) {
        const auto end = rest.find(", ");
        std::string item(rest.substr(0, end));
        rest.remove_prefix(end == std::string_view::npos ? rest.size() : end + 2);
        if (!rest.empty() && last) {
            item += last->second;
        }
        items.push_back(item);
    }
    return items;
}

/// How many values the entry has when one is given for each.
std::size_t item_count(const toml::table& table, const std::string& name, std::size_t own) {
    // Those of runners belong to the mouths, which stand in the same table.
    const auto* x = name == "x" ? nullptr : table.get("x");
    return x == nullptr ? own : items_of(*x).size();
}

}  // namespace

bool has_items(const Key& key) {
    return key.kind == Kind::quantities || key.kind == Kind::numbers || key.kind == Kind::taper;
}

std::optional<std::size_t> item_number(const std::vector<std::string>& path) {
    const auto number = path.size() < 3 ? std::nullopt : whole_number(path.back());
    if (!number || *number < 1) {
        return std::nullopt;
    }
    // A bank's parts carry the keys that they have at the top of the file.
    const std::size_t first = path.front() == "bank" && path.size() > 4 ? 2 : 0;
    std::string pattern;
    for (std::size_t i = first; i + 1 < path.size(); ++i) {
        pattern = join_keys(pattern, path[i]);
    }
    const Key* key = find_key(pattern);
    return key != nullptr && has_items(*key) ? std::optional(*number - 1) : std::nullopt;
}

std::size_t items_in(const toml::table& table, const std::string& name) {
    const auto* node = table.get(name);
    return node == nullptr || node->is_table() ? 0
                                               : item_count(table, name, items_of(*node).size());
}

void set_item(toml::table& table,
              const std::string& name,
              const std::string& shown,
              std::size_t item,
              const std::string& text,
              Messages& messages) {
    const auto* node = table.get(name);
    if (node == nullptr) {
        messages.error(
            {},
            fmt::format("{0}.{1}: the file gives no {0}; set {0} for all first", shown, item + 1));
        return;
    }
    if (node->is_table()) {
        messages.error({}, no_list(shown, item));
        return;
    }
    auto items = items_of(*node);
    const auto count = item_count(table, name, items.size());
    while (items.size() == 1 && items.size() < count) {
        // A copy of the first, until there is one each.
        for (std::size_t i = 1; i < count; ++i) {
            items.front().visit([&items](const auto& value) { items.push_back(value); });
        }
    }
    if (item >= items.size()) {
        messages.error({}, no_item(shown, item, items.size()));
        return;
    }
    const auto number = number_and_unit(text);
    if (number && number->second.empty()) {
        items.replace(items.begin() + static_cast<std::ptrdiff_t>(item), number->first);
    } else {
        items.replace(items.begin() + static_cast<std::ptrdiff_t>(item), text);
    }
    table.insert_or_assign(name, std::move(items));
}

std::string item_fault(const Scope& scope,
                       const std::string& pattern,
                       const std::string& shown,
                       std::size_t item) {
    const Value value = scope.value(pattern);
    if (value.form != Form::plain) {
        return no_list(shown, item);
    }
    const Value* x = pattern.starts_with("runner.") ? scope.good("runner.x") : nullptr;
    const auto count = x != nullptr ? x->numbers.size() : value.numbers.size();
    if (value.numbers.empty()) {
        return fmt::format(
            "{0}.{1}: the file gives no {0}; set {0} for all first", shown, item + 1);
    }
    return item < count ? std::string() : no_item(shown, item, count);
}

void set_item(Scope& scope, const std::string& pattern, std::size_t item, const Value& one) {
    Value whole = scope.value(pattern);
    const Value* x = pattern.starts_with("runner.") ? scope.good("runner.x") : nullptr;
    const auto count = x != nullptr ? x->numbers.size() : whole.numbers.size();
    if (whole.numbers.size() == 1 && count > 1) {
        whole.numbers.assign(count, whole.numbers.front());
    }
    whole.key = one.key;
    whole.place = one.place;
    whole.shown = one.shown;
    whole.text = one.text;
    if (item < whole.numbers.size() && !one.numbers.empty()) {
        whole.numbers[item] = one.numbers.front();
    }
    scope.values.insert_or_assign(pattern, std::move(whole));
}

}  // namespace plenair::file

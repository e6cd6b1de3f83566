#include "cases/file/document.hpp"
#include "cases/file/toml.hpp"

#include <algorithm>
#include <climits>
#include <new>
#include <string_view>
#include <unordered_map>
#include <utility>

#include <fmt/format.h>

namespace plenair::file {
namespace {

using Defaults = std::unordered_map<std::string_view, Value>;

Defaults defaults_of(const KeyTable& table) {
    Defaults all;
    Messages messages("default");
    ValueReader reader(messages, {});
    for (const auto& key : table.keys()) {
        if (!key.fallback.empty()) {
            try {
                const auto entry = toml::parse(fmt::format("v = {}", key.fallback));
                all.emplace(key.name, reader.read(key, std::string(key.name), *entry.get("v")));
            } catch (const toml::parse_error&) {
                // Our own text: the library's streams take missing memory for a bad number.
                throw std::bad_alloc();
            }
        }
    }
    return all;
}

/// The default of a key, read once by the same rules as an entry.
const Value& fallback(const KeyTable& table, std::string_view name) {
    static const Defaults of_case = defaults_of(case_table());
    static const Defaults of_measured = defaults_of(measured_table());
    static const Value none;
    const Defaults& defaults = &table == &case_table() ? of_case : of_measured;
    const auto found = defaults.find(name);
    return found == defaults.end() ? none : found->second;
}

void collect(const Scope& scope, std::vector<const Value*>& values) {
    for (const auto& [name, value] : scope.values) {
        values.push_back(&value);
    }
    for (const auto& [name, list] : scope.children) {
        for (const auto& child : list) {
            collect(child, values);
        }
    }
}

}  // namespace

const Value* Scope::find(std::string_view key) const {
    const auto found = values.find(key);
    return found == values.end() ? nullptr : &found->second;
}

const Value* Scope::good(std::string_view key) const {
    const auto* value = find(key);
    return value && value->good ? value : nullptr;
}

const std::vector<Scope>& Scope::list(std::string_view name) const {
    static const std::vector<Scope> none;
    const auto found = children.find(name);
    return found == children.end() ? none : found->second;
}

Place Scope::place_of_section(std::string_view section) const {
    const auto found = sections.find(section);
    return found == sections.end() ? place : found->second;
}

const Value& Scope::read(std::string_view key) const {
    static const Value none;
    if (const auto* given = find(key)) {
        return given->good ? *given : none;
    }
    return fallback(*table, key);
}

std::optional<double> Scope::maybe(std::string_view key) const {
    const auto* given = good(key);
    return given && !given->numbers.empty() ? std::optional(given->number()) : std::nullopt;
}

std::vector<const Value*> all_values(const Scope& scope) {
    std::vector<const Value*> values;
    collect(scope, values);
    const auto rank = [](const Value* v) {
        return std::tuple(v->place.line > 0 ? v->place.line : INT_MAX, v->place.column, v->shown);
    };
    std::sort(values.begin(), values.end(), [&](const Value* a, const Value* b) {
        return rank(a) < rank(b);
    });
    return values;
}

}  // namespace plenair::file

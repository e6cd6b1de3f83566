#include "cases/file/units.hpp"

#include "cases/file/toml.hpp"
#include "geometry/unit.hpp"

#include <algorithm>
#include <string_view>

namespace plenair::file {
namespace {

using geometry::Dimension;
using geometry::OutputUnits;
using geometry::UnitSystem;

/// Entries with a length or an area, of each system of units.
struct Count {
    int metric = 0, inch = 0;

    void add(std::string_view unit);
    void text(std::string_view text);
    void node(const toml::node& node);
};

void Count::add(std::string_view unit) {
    const auto* known = geometry::find_unit(unit);
    if (known != nullptr &&
        (known->dimension == Dimension::length || known->dimension == Dimension::area)) {
        ++(unit == "in" || unit == "in2" ? inch : metric);
    }
}

/// A quantity or a list of them begins with a number; its unit is one of the words behind.
void Count::text(std::string_view text) {
    if (text.empty() || std::string_view("+-.0123456789").find(text.front()) == text.npos) {
        return;
    }
    constexpr std::size_t longest = 1000;
    std::string_view rest = text.size() > longest ? text.substr(text.size() - longest) : text;
    while (!rest.empty()) {
        // A unit may stand close to its number: "6mm".
        const auto begin = rest.find_first_not_of(" ,\t+-.0123456789");
        if (begin == std::string_view::npos) {
            return;
        }
        rest.remove_prefix(begin);
        const auto end = std::min(rest.find_first_of(" ,\t"), rest.size());
        add(rest.substr(0, end));
        rest.remove_prefix(end);
    }
}

void Count::node(const toml::node& node) {
    if (const auto* string = node.as_string()) {
        text(string->get());
    } else if (const auto* list = node.as_array()) {
        for (const auto& item : *list) {
            this->node(item);
        }
    } else if (const auto* table = node.as_table()) {
        for (const auto& [name, value] : *table) {
            this->node(value);
        }
    }
}

}  // namespace

OutputUnits units_of(const toml::table& table) {
    const auto wanted = table.at_path("case.units").value<std::string>();
    if (wanted == "mm" || wanted == "inch") {
        return {wanted == "mm" ? UnitSystem::metric : UnitSystem::inch};
    }
    Count count;
    for (const auto& [name, node] : table) {
        if (name.str() != "case") {
            count.node(node);
        }
    }
    return {count.inch > count.metric ? UnitSystem::inch : UnitSystem::metric};
}

}  // namespace plenair::file

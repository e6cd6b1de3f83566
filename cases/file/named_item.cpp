#include "cases/file/named_item.hpp"

#include "cases/base/whole_number.hpp"
#include "cases/file/toml.hpp"

#include <cstddef>
#include <optional>

namespace plenair::file {

namespace {

/// @param list  const or not; so is the table
template <class List>
auto* found(List& list, const std::string& name) {
    for (auto& item : list) {
        auto* table = item.as_table();
        if (table != nullptr && (*table)["name"].template value<std::string>() == name) {
            return table;
        }
    }
    const auto number = whole_number(name);
    return number && *number >= 1 && *number <= list.size() ? list[*number - 1].as_table()
                                                            : nullptr;
}

}  // namespace

const toml::table* find_item(const toml::array& list, const std::string& name) {
    return found(list, name);
}

toml::table* find_item(toml::array& list, const std::string& name) {
    return found(list, name);
}

std::vector<std::string> item_names(const toml::array& list) {
    std::vector<std::string> names;
    for (std::size_t i = 0; i < list.size(); ++i) {
        const auto* item = list.get_as<toml::table>(i);
        const auto name = item != nullptr ? (*item)["name"].value<std::string>() : std::nullopt;
        // A name with a dot would be taken for two parts of the key.
        const bool usable = name && !name->empty() && name->find('.') == std::string::npos;
        names.push_back(usable ? *name : std::to_string(i + 1));
    }
    return names;
}

}  // namespace plenair::file

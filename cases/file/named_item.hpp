#pragma once

#include "cases/file/toml_names.hpp"

#include <string>
#include <vector>

/// Items of a list of tables, such as [[point]], by name or number: "point.A4.speed".
namespace plenair::file {

/// The item that a name, or a number from 1, means; null if none. A name goes before a number.
[[nodiscard]] const toml::table* find_item(const toml::array& list, const std::string& name);
[[nodiscard]] toml::table* find_item(toml::array& list, const std::string& name);

/// What the items are called in a key: by name where a key can hold it, else by number from 1.
[[nodiscard]] std::vector<std::string> item_names(const toml::array& list);

}  // namespace plenair::file

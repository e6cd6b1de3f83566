#pragma once

#include "cases/file/document.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

/// One value of a list as an entry of its own: "runner.length.4".
namespace plenair::file {

/// Whether the entry holds one value for all, or a list of one each.
[[nodiscard]] bool has_items(const Key& key);

/// The place, from 0, of an item in a list of which `path` ends in its number: of
/// {"runner", "length", "4"} it is 3. None where the path is no such.
[[nodiscard]] std::optional<std::size_t> item_number(const std::vector<std::string>& path);

/// How many values of one each an entry of a table has or may get; 0 where it is not there or holds
/// stations.
[[nodiscard]] std::size_t items_in(const toml::table& table, const std::string& name);

/// The entry with its item number `item` (from 0) set to `text`, as a list of one value each; one
/// value for all is written out first. Reports where there is no such item.
/// @param table  that holds the entry `name`, and what its values belong to
/// @param shown  the entry as a person named it, without the item's number
void set_item(toml::table& table,
              const std::string& name,
              const std::string& shown,
              std::size_t item,
              const std::string& text,
              Messages& messages);

/// The same among checked values. @param one  read as a value of the whole entry
void set_item(Scope& scope, const std::string& pattern, std::size_t item, const Value& one);

/// What is wrong with an item of a checked entry; empty where it is there.
[[nodiscard]] std::string item_fault(const Scope& scope,
                                     const std::string& pattern,
                                     const std::string& shown,
                                     std::size_t item);

}  // namespace plenair::file

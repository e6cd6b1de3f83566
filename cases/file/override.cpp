#include "cases/file/document.hpp"

#include "cases/base/whole_number.hpp"
#include "cases/file/list_item.hpp"
#include "cases/file/named_item.hpp"
#include "cases/file/set_path.hpp"
#include "cases/file/text.hpp"
#include "cases/file/toml.hpp"
#include "cases/file/toml_guard.hpp"
#include "cases/study/visible_text.hpp"

#include <algorithm>
#include <exception>
#include <new>
#include <optional>
#include <utility>

#include <fmt/format.h>
#include <fmt/ranges.h>

/// Overrides from the command line: --set key=value.
namespace plenair::file {
namespace {

constexpr std::string_view usage = "write --set key=value, e.g. --set \"slot.width=5 mm\"";

toml::array placeless(const toml::array& list);

/// A copy whose keys and values have forgotten where they stood; line 0 then means the command
/// line. Values forget it in any copy, keys do not.
toml::table placeless(const toml::table& table) {
    toml::table copy;
    for (const auto& [key, node] : table) {
        const std::string name(key.str());
        node.visit([&](const auto& value) {
            if constexpr (toml::is_table<decltype(value)> || toml::is_array<decltype(value)>) {
                copy.insert(name, placeless(value));
            } else {
                copy.insert(name, value);
            }
        });
    }
    copy.is_inline(table.is_inline());
    return copy;
}

toml::array placeless(const toml::array& list) {
    toml::array copy;
    for (const auto& node : list) {
        node.visit([&](const auto& value) {
            if constexpr (toml::is_table<decltype(value)> || toml::is_array<decltype(value)>) {
                copy.push_back(placeless(value));
            } else {
                copy.push_back(value);
            }
        });
    }
    return copy;
}

/// Inserts the value as TOML where it reads as TOML, else as text: 5 mm needs no inner quotes.
void insert(toml::table& table, const std::string& key, const std::string& text) {
    table.erase(key);
    if (sign_fault(text)) {
        table.insert(key, text);  // No TOML: so it is text.
        return;
    }
    try {
        auto parsed = placeless(toml::parse("v = " + text));
        auto* node = parsed.get("v");
        if (node && parsed.size() == 1 && text.find('\n') == std::string::npos) {
            std::as_const(*node).visit([&](const auto& value) { table.insert(key, value); });
            return;
        }
    } catch (const std::bad_alloc&) {
        throw;
    } catch (const std::exception&) {
        // Not TOML: taken as text below.
    }
    table.insert(key, text);
}

/// Where a path begins: the file, or every bank where it names a part without its bank. A bank that
/// has no such part gets none by an entry of it, unless no bank has one.
std::vector<toml::table*> owners_of(toml::table& table, const std::vector<std::string>& path) {
    std::vector<toml::table*> banks;
    auto* list = table.get_as<toml::array>("bank");
    if (list != nullptr && is_bank_part(path.front()) && !table.contains(path.front())) {
        bool any_has = false;
        for (auto& item : *list) {
            if (auto* bank = item.as_table()) {
                banks.push_back(bank);
                any_has = any_has || bank->contains(path.front());
            }
        }
        if (any_has) {
            std::erase_if(banks, [&](auto* bank) { return !bank->contains(path.front()); });
        }
    }
    return banks.empty() ? std::vector<toml::table*>{&table} : banks;
}

/// "point.A9.speed", "point.speed", "bank.slot.width": which items the list has, and what to write.
/// @param list  not empty
/// @param at  place of the list's name in the path
std::string no_such_item(const toml::array& list,
                         const std::vector<std::string>& path,
                         std::size_t at,
                         const std::string& shown) {
    const auto names = item_names(list);
    const std::string& name = path[at];
    const bool named = path.size() > at + 2;
    const bool part = name == "bank" && is_bank_part(path[at + 1]);
    const auto place = path.begin() + static_cast<std::ptrdiff_t>(at);
    const std::vector<std::string> rest(place + (named && !part ? 2 : 1), path.end());
    std::string text =
        fmt::format("{}: {} {}{}: write {}.{}.{}",
                    shown,
                    named ? fmt::format("no {} '{}'; the", name, path[at + 1])
                          : fmt::format("which {}? The", name),
                    name,
                    names.size() == 1 ? fmt::format(" is {}", names.front())
                                      : fmt::format("s are {}", fmt::join(names, ", ")),
                    fmt::join(path.begin(), place + 1, "."),
                    names.front(),
                    fmt::join(rest, "."));
    if (name == "bank") {
        text += fmt::format(", or {} for every bank", fmt::join(rest, "."));
    }
    return text;
}

/// The table that holds the last part of a path; made on the way where the file has none. Null, and
/// reported, where there is no such place.
toml::table* table_for(toml::table& table,
                       const std::vector<std::string>& path,
                       const std::string& shown,
                       Messages& messages) {
    toml::table* at = &table;
    for (std::size_t i = 0; i + 1 < path.size(); ++i) {
        toml::node* next = at->get(path[i]);
        if (next == nullptr) {
            next = &at->insert(path[i], toml::table{}).first->second;
        }
        const bool single = path[i] == "throttle" && next->is_table() && i + 2 < path.size();
        auto* list = next->as_array();
        const bool of_tables = list != nullptr && list->is_array_of_tables();
        const std::size_t place = i;
        if (list != nullptr && i + 2 < path.size()) {
            at = find_item(*list, path[++i]);
        } else {
            at = next->as_table();
        }
        if (at == nullptr && of_tables) {
            messages.error({}, no_such_item(*list, path, place, shown));
            return nullptr;
        }
        if (const auto number = single ? whole_number(path[i + 1]) : std::nullopt) {
            // The one throttle may be called the first.
            ++i;
            if (*number != 1) {
                messages.error(
                    {},
                    fmt::format(
                        "{}: the file has one throttle; write throttle.{}", shown, path.back()));
                return nullptr;
            }
        }
        if (at == nullptr) {
            messages.error(
                {}, fmt::format("{}: no {} here; name an entry of the file", shown, path[i]));
            return nullptr;
        }
    }
    return at;
}

std::string trimmed(std::string_view text) {
    const auto first = text.find_first_not_of(' ');
    if (first == std::string_view::npos) {
        return {};
    }
    return std::string(text.substr(first, text.find_last_not_of(' ') - first + 1));
}

/// The first byte that is no character; the text of the case could not hold it.
std::optional<unsigned> foreign_byte(std::string_view text) {
    while (!text.empty()) {
        const Character c = first_character(text);
        if (!c.valid) {
            return static_cast<unsigned>(c.code);
        }
        text.remove_prefix(c.bytes);
    }
    return std::nullopt;
}

}  // namespace

void apply_set(toml::table& table, const std::string& set, Messages& messages) {
    if (const auto byte = foreign_byte(set)) {
        messages.error({},
                       fmt::format("{}: byte {:02X} is no character of UTF-8; write it in UTF-8, "
                                   "as the terminal does by itself",
                                   set,
                                   *byte));
        return;
    }
    if (set.size() > longest_line) {
        messages.error({},
                       fmt::format("{:.60}...: {} characters, at most {} are read; shorten it",
                                   set,
                                   set.size(),
                                   longest_line));
        return;
    }
    const auto equals = set.find('=');
    if (equals == std::string::npos || equals == 0) {
        messages.error({}, fmt::format("\"{}\": no key and value; {}", set, usage));
        return;
    }
    const auto path = split(trimmed(std::string_view(set).substr(0, equals)), '.');
    constexpr std::size_t most_parts = 8;
    const bool gap =
        std::any_of(path.begin(), path.end(), [](const std::string& part) { return part.empty(); });
    if (gap || path.size() > most_parts) {
        messages.error({},
                       fmt::format("\"{}\": {}; {}",
                                   set.substr(0, equals),
                                   gap ? "a part of the key is empty" : "no key has so many parts",
                                   usage));
        return;
    }
    const std::string value = trimmed(std::string_view(set).substr(equals + 1));
    if (const auto fault = set_path_fault(table, path, value); !fault.empty()) {
        messages.error({}, fault);
        return;
    }
    const auto item = item_number(path);
    for (auto* owner : owners_of(table, path)) {
        if (item) {
            const std::vector<std::string> whole(path.begin(), path.end() - 1);
            auto* at = table_for(*owner, whole, set, messages);
            if (at == nullptr) {
                return;
            }
            const auto shown = fmt::format("{}", fmt::join(whole, "."));
            set_item(*at, whole.back(), shown, *item, value, messages);
        } else if (auto* at = table_for(*owner, path, set, messages)) {
            insert(*at, path.back(), value);
        } else {
            return;
        }
    }
}

void insert_node(toml::table& table,
                 const std::string& path,
                 const toml::node& node,
                 Messages& messages) {
    const auto parts = split(path, '.');
    if (auto* at = table_for(table, parts, path, messages)) {
        node.visit([&](const auto& value) { at->insert_or_assign(parts.back(), value); });
    }
}

}  // namespace plenair::file

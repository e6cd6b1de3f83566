#include "cases/file/set_path.hpp"

#include "cases/base/whole_number.hpp"
#include "cases/file/document.hpp"
#include "cases/file/list_item.hpp"
#include "cases/file/named_item.hpp"
#include "cases/file/toml.hpp"

#include <algorithm>
#include <array>
#include <cstddef>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace plenair::file {
namespace {

using Path = std::vector<std::string>;

std::string text_of(const Path& path) {
    return fmt::format("{}", fmt::join(path, "."));
}

bool is_list(std::string_view pattern) {
    const Key* key = find_key(pattern);
    return key != nullptr && key->kind == Kind::list;
}

bool is_name(std::string_view pattern) {
    return find_key(pattern) != nullptr || is_section(pattern);
}

/// The name in the key table, without the items of lists: "point.speed" of "point.A4.speed".
/// @param item  is set to whether the path ends at an item of a list
std::string pattern_of_path(const Path& path, bool& item) {
    std::string pattern;
    item = false;
    for (const auto& part : path) {
        if (pattern == "bank" && is_bank_part(part)) {
            pattern = part;
            item = false;
            continue;
        }
        const auto next = join_keys(pattern, part);
        const bool skipped = !item && is_list(pattern) && !is_name(next);
        pattern = skipped ? pattern : next;
        item = skipped;
    }
    return pattern;
}

/// What is mostly set of a section: an example of its entries.
std::string example_entry(const std::string& section) {
    struct Mostly {
        std::string_view section, entry;
    };
    constexpr std::array usual{Mostly{"slot", "width"},
                               Mostly{"runner", "length"},
                               Mostly{"throttle", "bore"},
                               Mostly{"plenum", "area"},
                               Mostly{"pre_chamber", "area"},
                               Mostly{"valve", "intake.lift"},
                               Mostly{"engine", "bore"},
                               Mostly{"point", "speed"}};
    const auto found = std::find_if(
        usual.begin(), usual.end(), [&](const Mostly& each) { return each.section == section; });
    if (found != usual.end()) {
        return std::string(found->entry);
    }
    const auto& all = keys();
    const auto key = std::find_if(all.begin(), all.end(), [&](const Key& each) {
        return each.name.starts_with(section + ".") && each.kind != Kind::list;
    });
    return key == all.end() ? std::string{} : std::string(key->name.substr(section.size() + 1));
}

/// What the first item of a list is called; empty where the file has none.
std::string first_item(const toml::table& table, const std::string& list) {
    const auto* items = table.get_as<toml::array>(list);
    return items == nullptr || items->empty() ? std::string{} : item_names(*items).front();
}

/// Whether the last part of a path is a number, or the name of an item of its list: of
/// "throttle.diameter" it is neither.
bool is_item(const toml::table& table, const Path& path) {
    const auto* items = path.size() == 2 ? table.get_as<toml::array>(path.front()) : nullptr;
    return whole_number(path.back()) ||
           (items != nullptr && find_item(*items, path.back()) != nullptr);
}

/// "bank.1.slot.width" in a case without banks.
std::string no_bank(const Path& path) {
    const auto part = std::find_if(
        path.begin() + 1, path.end(), [](const auto& each) { return is_bank_part(each); });
    return fmt::format("{}: the case has no banks; {}",
                       text_of(path),
                       part != path.end() && part + 1 != path.end()
                           ? fmt::format("write {}", fmt::join(part, path.end(), "."))
                           : std::string("name an entry of one of its parts, e.g. slot.width"));
}

/// "runner.2.length": the number belongs behind the entry, or nowhere.
std::string moved_number(const toml::table& table, const Path& path) {
    for (std::size_t i = 1; i + 1 < path.size(); ++i) {
        const auto number = whole_number(path[i]);
        Path entry = path;
        entry.erase(entry.begin() + static_cast<std::ptrdiff_t>(i));
        bool ignored = false;
        const Key* key = number ? find_key(pattern_of_path(entry, ignored)) : nullptr;
        if (key == nullptr || key->kind == Kind::list) {
            continue;
        }
        const auto* section = table[entry.front()].as_table();
        const bool known = section != nullptr && entry.size() == 2;
        const auto count = known ? items_in(*section, entry.back()) : *number;
        const auto whole = text_of(entry);
        if (!has_items(*key) || count < 2) {
            return fmt::format("unknown key {}; did you mean {}?", text_of(path), whole);
        }
        if (*number < 1 || *number > count) {
            return fmt::format(
                "{0}: there are {1} of them; write {2}.1 to {2}.{1}", text_of(path), count, whole);
        }
        return fmt::format("unknown key {}; did you mean {}.{}?", text_of(path), whole, *number);
    }
    return {};
}

}  // namespace

std::string set_path_fault(const toml::table& table, const Path& path, std::string_view value) {
    const bool inner = value.starts_with('{');
    const bool tables = value.starts_with('[') && value.find('{') != std::string_view::npos;
    if (path.front() == "bank" && !table.contains("bank") && !tables) {
        return no_bank(path);
    }
    if (is_list(path.front()) && path.front() != "throttle" && !table.contains(path.front()) &&
        !tables) {
        return fmt::format("{0}: the file has no {1}; write [[{1}]] and its keys in the file",
                           text_of(path),
                           path.front());
    }
    bool item = false;
    const auto pattern = pattern_of_path(path, item);
    const bool list = is_list(pattern) && !item && table.get_as<toml::table>(pattern) == nullptr;
    if (!is_name(pattern) || (item && !is_item(table, path))) {
        return moved_number(table, path);
    }
    const Key* key = find_key(pattern);
    const bool section = key == nullptr || key->kind == Kind::list;
    if (!section || tables || (inner && (!list || pattern == "throttle"))) {
        return {};
    }
    const std::string name = list && path.size() == 1 ? first_item(table, pattern) : std::string{};
    if (list && name.empty() && pattern != "throttle") {
        return fmt::format(
            "{} = {:.60}: is a list of tables; write it in the file", text_of(path), value);
    }
    return fmt::format("{} = {:.60}: is a {}; name an entry of it, e.g. {}",
                       text_of(path),
                       value,
                       list ? "list of sections" : "section",
                       join_keys(join_keys(text_of(path), name), example_entry(pattern)));
}

}  // namespace plenair::file

#include "cases/base/whole_number.hpp"
#include "cases/file/list_item.hpp"
#include "cases/file/sweep_axes.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>
#include <fmt/ranges.h>

/// Names of entries, as after --set, among the scopes of a file.
namespace plenair::file {
namespace {

/// What a person calls an item of a list: the end of "point.A4".
std::string name_of(const Scope& item) {
    return item.shown.substr(item.shown.rfind('.') + 1);
}

std::optional<std::size_t> place_in(const std::vector<Scope>& list, const std::string& name) {
    const auto named = std::find_if(
        list.begin(), list.end(), [&](const Scope& item) { return name_of(item) == name; });
    if (named != list.end()) {
        return static_cast<std::size_t>(named - list.begin());
    }
    const auto number = whole_number(name);
    return number && *number >= 1 && *number <= list.size() ? std::optional(*number - 1)
                                                            : std::nullopt;
}

/// @param written  the entry as it was named
std::string missing_item(std::string_view written,
                         const std::string& shown,
                         const std::vector<Scope>& list) {
    std::vector<std::string> names;
    names.reserve(list.size());
    for (const auto& item : list) {
        names.push_back(name_of(item));
    }
    return list.empty() ? fmt::format("{}: the file has no {}", written, shown)
                        : fmt::format("{}: name one of {}, as in {}.{}.<key>",
                                      written,
                                      fmt::join(names, ", "),
                                      shown,
                                      names.front());
}

/// Why an entry that exists may not vary; empty where it may.
std::string fixed_reason(const Key& key, const std::string& shown) {
    if (key.kind == Kind::text || key.name == "format") {
        return fmt::format("{}: is only a text; it changes nothing that is computed, leave it out",
                           shown);
    }
    if (key.name.starts_with("choose.") || key.name.starts_with("tolerance.")) {
        return fmt::format("{}: is not an entry of the case and cannot vary", shown);
    }
    if (key.name == "curve.steps") {
        return fmt::format("{}: is the number of points, which all variants share", shown);
    }
    if (key.name.starts_with("choose.") || key.name.starts_with("tolerance.")) {
        return fmt::format("{}: is not an entry of the case and cannot vary", shown);
    }
    if (key.name.starts_with("sweep.")) {
        return fmt::format(
            "{}: is not an entry of the case and cannot vary; write {} = {} in "
            "[sweep]",
            shown,
            key.name.substr(key.name.find('.') + 1),
            key.example);
    }
    for (const std::string_view part : {"bench.", "source.", "injector.", "nitrous."}) {
        if (key.name.starts_with(part)) {
            return fmt::format("{}: has no effect on the points that a sweep solves; leave it out",
                               shown);
        }
    }
    return {};
}

bool is_name(const std::string& pattern) {
    return find_key(pattern) != nullptr || is_section(pattern);
}

std::string section_of(const std::string& pattern) {
    return pattern.substr(0, pattern.rfind('.'));
}

/// Parts that are there or not; other sections may be left out.
bool is_part(const std::string& pattern) {
    constexpr std::array parts = {
        "pre_chamber.", "slot.", "plenum.", "runner.", "engine.", "valve."};
    return std::any_of(
        parts.begin(), parts.end(), [&](const char* part) { return pattern.starts_with(part); });
}

const Scope* child_of(const Scope& scope, const std::pair<std::string, std::size_t>& step) {
    return &scope.list(step.first)[step.second];
}

/// One value of a list: "runner.length.4".
std::optional<EntryPath> find_item(const Scope& root, std::string_view name, std::string& problem) {
    const auto dot = name.rfind('.');
    const std::string whole(name.substr(0, dot));
    auto path = find_entry(root, whole, problem);
    if (path) {
        path->item = item_number(split(name, '.'));
        problem = item_fault(scope_of(root, *path), path->pattern, whole, *path->item);
        path->shown = std::string(name);
    }
    return problem.empty() ? path : std::nullopt;
}

}  // namespace

const Scope& scope_of(const Scope& root, const EntryPath& path) {
    const Scope* scope = &root;
    for (const auto& step : path.children) {
        scope = child_of(*scope, step);
    }
    return *scope;
}

std::optional<EntryPath> find_entry(const Scope& root,
                                    std::string_view name,
                                    std::string& problem) {
    const auto parts = split(name, '.');
    if (item_number(parts)) {
        return find_item(root, name, problem);
    }
    const Scope* scope = &root;
    EntryPath path;
    std::string relative;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        relative = join_keys(relative, parts[i]);
        path.pattern = pattern_of(*scope, relative);
        path.key = find_key(path.pattern);
        if (path.key == nullptr || path.key->kind != Kind::list) {
            continue;
        }
        const auto& list = scope->list(path.key->name);
        auto place = i + 1 < parts.size() ? place_in(list, parts[i + 1]) : std::nullopt;
        if (place) {
            ++i;
        } else if (list.size() == 1 && i + 1 < parts.size() &&
                   is_name(join_keys(path.pattern, parts[i + 1]))) {
            place = 0;  // "throttle.bore" where there is one throttle
        } else {
            problem = missing_item(name, join_keys(scope->shown, relative), list);
            return std::nullopt;
        }
        path.children.emplace_back(std::string(path.key->name), *place);
        scope = child_of(*scope, path.children.back());
        relative.clear();
        path.key = nullptr;
    }
    path.shown = std::string(name);
    if (path.key != nullptr) {
        problem = fixed_reason(*path.key, path.shown);
        if (problem.empty() && is_part(path.pattern) && !scope->has(section_of(path.pattern))) {
            problem = fmt::format(
                "{}: the case has no [{}]; add it", path.shown, section_of(path.pattern));
        }
    } else if (relative.empty() || is_section(path.pattern)) {
        problem = fmt::format("{}: is a section; name one entry of it", name);
    } else {
        problem = unknown_key_text(*scope, relative);
    }
    return problem.empty() ? std::optional(path) : std::nullopt;
}

std::vector<EntryPath> find_entries(const Scope& root,
                                    std::string_view name,
                                    std::string& problem) {
    if (auto path = find_entry(root, name, problem)) {
        return {std::move(*path)};
    }
    const auto& banks = root.list("bank");
    if (banks.empty() || !is_bank_part(name)) {
        return {};
    }
    std::vector<EntryPath> paths;
    for (std::size_t i = 0; i < banks.size(); ++i) {
        problem.clear();
        auto path = find_entry(root, fmt::format("bank.{}.{}", i + 1, name), problem);
        if (!path) {
            return {};
        }
        path->shown = join_keys(banks[i].shown, name);
        paths.push_back(std::move(*path));
    }
    return paths;
}

void assign(Scope& root, const EntryPath& path, Value value) {
    Scope* scope = &root;
    for (const auto& [name, place] : path.children) {
        scope = &scope->children.find(name)->second[place];
    }
    if (path.item) {
        set_item(*scope, path.pattern, *path.item, value);
        return;
    }
    scope->values.insert_or_assign(path.pattern, std::move(value));
}

}  // namespace plenair::file

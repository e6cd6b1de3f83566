#include "cases/file/document.hpp"

#include "cases/file/toml.hpp"
#include "cases/file/units.hpp"

#include <algorithm>
#include <array>
#include <new>
#include <tuple>
#include <utility>

#include <fmt/format.h>

namespace plenair::file {
namespace {

/// Walks the tables; every key is looked up in the key table under its pattern.
class Walker final {
public:
    Walker(ValueReader& reader, Messages& messages) : reader_(reader), messages_(messages) {}

    void table(Scope& scope, const std::string& relative, const toml::table& table);
    void require(const Scope& scope);
    /// Reports the keys that the key table does not know, once all are seen: what may be meant is
    /// looked for only where it will be shown.
    void report_unknown();

private:
    struct Unknown {
        Place place;
        const KeyTable* table = nullptr;
        std::string shown, pattern, relative;  ///< of the scope; of the key in it
        std::optional<std::string> near;  ///< what may be meant, where it was looked for
    };

    void entry(Scope& scope,
               const std::string& relative,
               const toml::key& name,
               const toml::node& node);
    void children(Scope& scope,
                  const Key& key,
                  const std::string& relative,
                  const toml::node& node);
    void child(Scope& scope, const Key& key, const std::string& shown, const toml::table& table);
    void unknown(Scope& scope, const std::string& relative, const toml::key& name);

    ValueReader& reader_;
    Messages& messages_;
    std::vector<Unknown> unknown_;
};

}  // namespace

bool is_bank_part(std::string_view relative) {
    constexpr std::array parts = {"throttle", "pre_chamber", "slot", "plenum", "runner"};
    const auto first = relative.substr(0, relative.find('.'));
    return std::find(parts.begin(), parts.end(), first) != parts.end();
}

namespace {

/// @param near  what may be meant; empty where nothing is near
std::string unknown_text(const Scope& scope, const std::string& relative, const std::string& near) {
    const std::string shown = relative.size() > 80 ? relative.substr(0, 80) + "..." : relative;
    const bool inside = !scope.pattern.empty() && near.starts_with(scope.pattern + ".");
    const std::string local = inside ? near.substr(scope.pattern.size() + 1) : near;
    const std::string meant = inside || is_bank_part(near) ? join_keys(scope.shown, local) : near;
    return fmt::format("unknown key {}; {}",
                       join_keys(scope.shown, shown),
                       near.empty() ? fmt::format("{} lists all keys", scope.table->manual())
                                    : fmt::format("did you mean {}?", meant));
}

void Walker::table(Scope& scope, const std::string& relative, const toml::table& table) {
    for (const auto& [name, node] : table) {
        entry(scope, join_keys(relative, name.str()), name, node);
    }
}

void Walker::entry(Scope& scope,
                   const std::string& relative,
                   const toml::key& name,
                   const toml::node& node) {
    const std::string pattern = pattern_of(scope, relative);
    if (pattern == "sweep" || pattern == "choose.vary" || pattern == "assumed") {
        // Its keys are entries of the case: read_axes, read_choose and read_assumed read them.
        return;
    }
    const Key* key = scope.table->find(pattern);
    if (key && key->kind == Kind::list) {
        scope.sections.emplace(pattern, place_of(name.source()));
        children(scope, *key, relative, node);
    } else if (key) {
        scope.values.insert_or_assign(pattern,
                                      reader_.read(*key, join_keys(scope.shown, relative), node));
    } else if (scope.table->is_section(pattern)) {
        if (const auto* inner = node.as_table()) {
            scope.sections.emplace(pattern, place_of(name.source()));
            table(scope, relative, *inner);
        } else {
            messages_.error(place_of(node.source()),
                            fmt::format("{} = {}: is a section; write [{}] and its keys below it",
                                        join_keys(scope.shown, relative),
                                        short_text(node),
                                        pattern));
        }
    } else {
        unknown(scope, relative, name);
    }
}

void Walker::unknown(Scope& scope, const std::string& relative, const toml::key& name) {
    const Place place = place_of(name.source());
    unknown_.push_back({place, scope.table, scope.shown, scope.pattern, relative, {}});
    if (unknown_.size() > Messages::most_shown) {
        return;
    }
    const std::string near = scope.table->nearest(pattern_of(scope, relative));
    unknown_.back().near = near;
    if (const Key* key = scope.table->find(near); key && key->kind != Kind::list) {
        // Most likely meant: so it is not reported as missing as well.
        Value misspelt;
        misspelt.key = key;
        misspelt.shown = join_keys(scope.shown, relative);
        misspelt.place = place;
        misspelt.good = false;
        scope.values.emplace(near, misspelt);
    }
}

void Walker::report_unknown() {
    const auto shown = std::min(unknown_.size(), Messages::most_shown);
    const auto before = [](const Unknown& a, const Unknown& b) {
        const auto rank = [](Place p) { return std::tuple(p.line <= 0, p.line, p.column); };
        return rank(a.place) < rank(b.place);
    };
    std::stable_sort(unknown_.begin(), unknown_.end(), before);
    for (std::size_t i = 0; i < unknown_.size(); ++i) {
        const Unknown& key = unknown_[i];
        messages_.error_of(key.place, [&] {
            Scope scope;
            scope.table = key.table;
            scope.shown = key.shown;
            scope.pattern = key.pattern;
            // Those behind the first are counted and not shown, even where they come to be taken.
            return i >= shown ? std::string()
                   : key.near ? unknown_text(scope, key.relative, *key.near)
                              : unknown_key_text(scope, key.relative);
        });
    }
}

void Walker::children(Scope& scope,
                      const Key& key,
                      const std::string& relative,
                      const toml::node& node) {
    const bool one_allowed = key.name == "throttle";
    if (const auto* single = node.as_table(); single && one_allowed) {
        child(scope, key, join_keys(scope.shown, relative), *single);
        return;
    }
    const auto* list = node.as_array();
    if (!list || !list->is_array_of_tables()) {
        messages_.error(
            place_of(node.source()),
            fmt::format("{}: must be a list of tables; write {}",
                        join_keys(scope.shown, relative),
                        key.name == "slot.pieces" ? key.example : fmt::format("[[{}]]", key.name)));
        return;
    }
    constexpr std::size_t most_tables = 1000;
    if (list->size() > most_tables) {
        messages_.error(place_of((*list)[most_tables].source()),
                        fmt::format("{}: {} tables; at most {} are read: take the others out",
                                    join_keys(scope.shown, relative),
                                    list->size(),
                                    most_tables));
        return;
    }
    std::size_t index = 1;
    for (const auto& item : *list) {
        const auto& table = *item.as_table();
        const auto name = table["name"].value<std::string>();
        child(
            scope,
            key,
            join_keys(join_keys(scope.shown, relative), name.value_or(fmt::format("{}", index++))),
            table);
    }
}

void Walker::child(Scope& scope,
                   const Key& key,
                   const std::string& shown,
                   const toml::table& inner) {
    Scope made;
    made.table = scope.table;
    made.shown = shown;
    made.pattern = key.name;
    made.place = place_of(inner.source());
    made.sections.emplace(made.pattern, made.place);
    table(made, "", inner);
    scope.children[std::string(key.name)].push_back(std::move(made));
}

void Walker::require(const Scope& scope) {
    for (const Key* required : scope.table->required()) {
        const Key& key = *required;
        const auto dot = key.name.rfind('.');
        const auto section = dot == std::string_view::npos ? "" : key.name.substr(0, dot);
        const bool listed = section == scope.pattern;
        const Key* owner = scope.table->find(section);
        const bool elsewhere = owner && owner->kind == Kind::list && !listed;
        const bool spared = key.of_engine && !scope.has("engine");
        if (elsewhere || spared || !scope.has(section) || scope.find(key.name)) {
            continue;
        }
        const auto at = scope.place_of_section(section);
        const auto shown = join_keys(
            scope.shown,
            listed && dot != std::string_view::npos ? key.name.substr(dot + 1) : key.name);
        messages_.error(at,
                        fmt::format("{}: missing{}{}; write {}{} = {}",
                                    shown,
                                    key.why.empty() ? "" : ": ",
                                    key.why,
                                    section.empty() ? "" : "e.g. ",
                                    key.name.substr(dot + 1),
                                    example_in(key.example, messages_.units())));
    }
    for (const auto& [name, list] : scope.children) {
        for (const auto& inner : list) {
            require(inner);
        }
    }
}

}  // namespace

std::string join_keys(std::string_view first, std::string_view second) {
    return first.empty() || second.empty() ? fmt::format("{}{}", first, second)
                                           : fmt::format("{}.{}", first, second);
}

std::string pattern_of(const Scope& scope, const std::string& relative) {
    return scope.pattern == "bank" && is_bank_part(relative) ? relative
                                                             : join_keys(scope.pattern, relative);
}

std::string unknown_key_text(const Scope& scope, const std::string& relative) {
    return unknown_text(scope, relative, scope.table->nearest(pattern_of(scope, relative)));
}

namespace {

double standard_barometer(const Key& key) {
    Messages ignored("");
    ValueReader reader(ignored, {});
    try {
        const auto entry = toml::parse(fmt::format("v = {}", key.fallback));
        return reader.read(key, "", *entry.get("v")).number();
    } catch (const toml::parse_error&) {
        throw std::bad_alloc();  // as in scope.cpp: the text is our own
    }
}

/// Whether a section holds a key that is most likely meant as `name`.
bool misspelt_in(const toml::table& table, std::string_view section, std::string_view name) {
    const auto* inner = table[section].as_table();
    return inner != nullptr && std::any_of(inner->begin(), inner->end(), [&](const auto& item) {
               const auto written = join_keys(section, item.first.str());
               return find_key(written) == nullptr && nearest_key(written) == name;
           });
}

}  // namespace

/// The barometer comes first: gauge pressures need it.
geometry::PressureContext context_of(const toml::table& table) {
    geometry::PressureContext context;
    Messages ignored("");
    ValueReader reader(ignored, {});
    context.units = units_of(table);
    const Key& barometer = *find_key("site.barometer");
    if (const auto* node = table.at_path("site.barometer").node()) {
        const auto value = reader.read(barometer, "site.barometer", *node);
        // One that is refused is reported where it stands; gauge pressures are then read at the
        // usual one, so that they do not report it again.
        context.barometer = value.good ? value.number() : standard_barometer(barometer);
    } else if (misspelt_in(table, "site", barometer.name)) {
        context.barometer = standard_barometer(barometer);
    }
    return context;
}

namespace {

Scope walk(const KeyTable& keys,
           const toml::table& table,
           ValueReader& reader,
           Messages& messages) {
    Walker walker(reader, messages);
    Scope root;
    root.table = &keys;
    root.place = {1, 1};
    root.sections.emplace("", root.place);
    walker.table(root, "", table);
    walker.report_unknown();
    walker.require(root);
    return root;
}

/// Density of the fluid on which an injector stage is rated: lb/h refers to it.
double rated_density(const toml::table& table, const std::string& key) {
    Messages ignored("");
    ValueReader reader(ignored, {});
    const Key& entry = *find_key(key);
    if (const auto* node = table.at_path(key).node()) {
        const auto value = reader.read(entry, key, *node);
        if (value.good) {
            return value.number();
        }
    }
    return geometry::parse_quantity(
               std::string(entry.fallback.substr(1, entry.fallback.size() - 2)), entry.dimension)
        .value.value_or(0);
}

}  // namespace

Scope read_scopes(const toml::table& table, Messages& messages) {
    ValueReader reader(messages, context_of(table));
    for (const std::string stage : {"injector.primary", "injector.secondary"}) {
        if (table.contains("injector")) {
            reader.state_density(stage + ".flow", rated_density(table, stage + ".rated_density"));
        }
    }
    Scope root = walk(case_table(), table, reader, messages);
    root.assumed = read_assumed(table, messages);
    return root;
}

Scope read_scopes_of(const KeyTable& keys,
                     const toml::table& table,
                     const geometry::PressureContext& context,
                     Messages& messages) {
    ValueReader reader(messages, context);
    return walk(keys, table, reader, messages);
}

}  // namespace plenair::file

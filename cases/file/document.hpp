#pragma once

#include "cases/file/assumed.hpp"
#include "cases/file/value.hpp"

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace plenair::file {

/// The entries of one table of the file: the root, one point, one bank, one throttle, one slot
/// piece.
struct Scope {
    const KeyTable* table = &case_table();
    std::string shown;  ///< "" for the root, "point.A4"
    std::string pattern;  ///< "" or "point": keys of the table start with it
    Place place;
    std::map<std::string, Value, std::less<>> values;  ///< by key name of the table
    std::map<std::string, Place, std::less<>> sections;  ///< sections present
    std::map<std::string, std::vector<Scope>, std::less<>> children;
    std::vector<AssumedEntry> assumed;  ///< of the root

    [[nodiscard]] bool has(std::string_view section) const {
        return sections.find(section) != sections.end();
    }
    [[nodiscard]] const Value* find(std::string_view key) const;  ///< as given, good or not
    [[nodiscard]] const Value* good(std::string_view key) const;  ///< as given, and without error
    [[nodiscard]] const std::vector<Scope>& list(std::string_view name) const;
    [[nodiscard]] Place place_of_section(std::string_view section) const;

    /// As given or the key table's default. Missing or bad entries, reported elsewhere, read as
    /// empty.
    [[nodiscard]] const Value& read(std::string_view key) const;
    /// The same as a copy of its own.
    [[nodiscard]] Value value(std::string_view key) const { return read(key); }
    [[nodiscard]] double number(std::string_view key) const { return read(key).number(); }
    [[nodiscard]] std::optional<double> maybe(std::string_view key) const;
    [[nodiscard]] std::string word(std::string_view key) const { return read(key).word(); }
    [[nodiscard]] bool flag(std::string_view key) const { return number(key) != 0; }
};

/// Parses TOML and applies the overrides. Reports in `messages`; empty if the text is not TOML.
[[nodiscard]] std::optional<toml::table> parse_toml(std::string_view text,
                                                    const std::vector<std::string>& sets,
                                                    Messages& messages);

/// Sets "key=value" in the table: "slot.width=5 mm", "point.A4.speed=9000 rpm", "throttle.2.bore=60
/// mm".
/// A part without its bank, "slot.width" in a case of several banks, is set in every bank.
void apply_set(toml::table& table, const std::string& set, Messages& messages);

/// Checks every entry against the key table and sorts it into scopes.
[[nodiscard]] Scope read_scopes(const toml::table& table, Messages& messages);

/// The same for another kind of file; gauge pressures refer to `context`.
[[nodiscard]] Scope read_scopes_of(const KeyTable& keys,
                                   const toml::table& table,
                                   const geometry::PressureContext& context,
                                   Messages& messages);

/// The name under which the key table lists the entry `relative` of a scope: a bank's parts carry
/// the same keys as at the top of the file.
[[nodiscard]] std::string pattern_of(const Scope& scope, const std::string& relative);

/// Whether an entry belongs to what a bank may hold: "slot.width", "throttle". These carry the same
/// keys in a bank as at the top of the file.
[[nodiscard]] bool is_bank_part(std::string_view relative);

/// "a.b"; one of them alone where the other is empty.
[[nodiscard]] std::string join_keys(std::string_view first, std::string_view second);

/// What gauge pressures and fuel flows of the file refer to.
[[nodiscard]] geometry::PressureContext context_of(const toml::table& table);

/// "unknown key slot.widht; did you mean slot.width?"
[[nodiscard]] std::string unknown_key_text(const Scope& scope, const std::string& relative);

/// Puts a copy of `node` where `path`, as after --set, points; reports where there is no such
/// place.
void insert_node(toml::table& table,
                 const std::string& path,
                 const toml::node& node,
                 Messages& messages);

/// All entries of a scope and of those inside it, in the order of the file.
[[nodiscard]] std::vector<const Value*> all_values(const Scope& scope);

}  // namespace plenair::file

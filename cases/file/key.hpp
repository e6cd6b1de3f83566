#pragma once

#include "geometry/quantity.hpp"

#include <cstddef>
#include <string>
#include <string_view>
#include <unordered_map>
#include <unordered_set>
#include <vector>

/// The key tables of the case file and of the measured file: one array each drives validation,
/// suggestions, --set, the manual and the schema.
namespace plenair::file {

using geometry::Dimension;

/// What may stand behind a key.
enum class Kind {
    text,  ///< any string
    choice,  ///< one of `choices`
    choices,  ///< list of `choices`
    flag,  ///< "on" | "off" (or true | false)
    integer,  ///< whole number
    integers,  ///< list of whole numbers
    number,  ///< number without unit
    numbers,  ///< one number or one per runner
    quantity,  ///< string with a unit
    quantities,  ///< list of quantities, or one for all
    profile,  ///< quantity, or { x, value } along the part
    taper,  ///< quantity, list per runner, { start, end } or { x, value } along each runner
    over_speed,  ///< quantity or number, or { speed, value } along a curve
    table,  ///< inline table of two lists of equal length
    list  ///< array of tables; its keys follow in the table as "name.key"
};

/// One key. Limits are text with an operator and a unit ("> 0 mm"), so that they read the same
/// everywhere.
struct Key {
    std::string_view name;
    Kind kind = Kind::text;
    Dimension dimension = Dimension::ratio;
    bool difference = false;  ///< a pressure difference: neither abs nor g
    std::string_view low = {};
    std::string_view high = {};
    std::string_view usual_low = {};  ///< outside the usual band: a warning
    std::string_view usual_high = {};
    std::string_view choices = {};  ///< "open|bore"; for a table: "abscissa|value" keys
    std::string_view fallback = {};  ///< default in TOML syntax; empty: none
    bool required = false;  ///< wherever its section is present
    std::string_view why = {};  ///< required: what needs it
    bool of_engine = false;  ///< required: only beside [engine]
    std::string_view example = {};  ///< in TOML syntax
    std::string_view doc = {};
};

/// A part of a file, for its manual.
struct SectionDoc {
    std::string_view name;
    std::string_view doc;
};

/// Dimension of a column of an inline table, by its name: angle, lift, pressure; none of the rest.
[[nodiscard]] Dimension column_dimension(std::string_view name);

/// All keys that one kind of file may hold.
class KeyTable final {
public:
    /// @param manual  page that lists the keys, for messages
    KeyTable(std::vector<Key> keys, std::vector<SectionDoc> sections, std::string_view manual);
    ~KeyTable() = default;
    KeyTable(const KeyTable&) = delete;  // it hands out pointers to its keys
    KeyTable& operator=(const KeyTable&) = delete;
    KeyTable(KeyTable&&) = delete;
    KeyTable& operator=(KeyTable&&) = delete;

    [[nodiscard]] const std::vector<Key>& keys() const { return keys_; }
    /// Those that must be there wherever their section is.
    [[nodiscard]] const std::vector<const Key*>& required() const { return required_; }
    [[nodiscard]] const std::vector<SectionDoc>& sections() const { return sections_; }
    [[nodiscard]] std::string_view manual() const { return manual_; }
    [[nodiscard]] const Key* find(std::string_view name) const;
    /// Whether some key starts with `name` and a dot.
    [[nodiscard]] bool is_section(std::string_view name) const;
    /// The known key or section nearest to `name` by edit distance; empty where nothing is near.
    [[nodiscard]] std::string nearest(std::string_view name) const;

private:
    std::vector<Key> keys_;
    std::vector<SectionDoc> sections_;
    std::string_view manual_;
    std::vector<const Key*> required_;
    std::vector<std::string> words_;  ///< names of keys and sections, and what people call them
    std::unordered_map<std::string_view, const Key*> by_name_;
    std::unordered_set<std::string_view> section_names_;
};

[[nodiscard]] const KeyTable& case_table();
[[nodiscard]] const KeyTable& measured_table();

// Of the case file.
[[nodiscard]] const std::vector<Key>& keys();
[[nodiscard]] const std::vector<SectionDoc>& section_docs();
[[nodiscard]] const Key* find_key(std::string_view name);
/// Whether some key starts with `name` and a dot.
[[nodiscard]] bool is_section(std::string_view name);
/// The known key or section nearest to `name` by edit distance; empty where nothing is near.
[[nodiscard]] std::string nearest_key(std::string_view name);
/// The word of `words` nearest to `word`; empty where nothing is near.
[[nodiscard]] std::string nearest_word(std::string_view word,
                                       const std::vector<std::string>& words);
[[nodiscard]] std::vector<std::string> split(std::string_view text, char separator);

// The table is written down by subject.
void add_engine_keys(std::vector<Key>& table);
void add_intake_keys(std::vector<Key>& table);
void add_slot_keys(std::vector<Key>& table);
void add_runner_keys(std::vector<Key>& table);
void add_point_keys(std::vector<Key>& table);
void add_curve_keys(std::vector<Key>& table);
void add_exhaust_keys(std::vector<Key>& table);
void add_bench_keys(std::vector<Key>& table);
void add_unsteady_keys(std::vector<Key>& table);
void add_fuel_keys(std::vector<Key>& table);
void add_model_keys(std::vector<Key>& table);
void add_sweep_keys(std::vector<Key>& table);
void add_measured_keys(std::vector<Key>& table);
[[nodiscard]] const std::vector<SectionDoc>& measured_section_docs();

}  // namespace plenair::file

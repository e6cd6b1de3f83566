#pragma once

#include "cases/file/document.hpp"
#include "cases/study/block.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

/// The [sweep] section: which entries vary, and over which values.
namespace plenair::file {

/// Where an entry stands among the scopes of a file.
struct EntryPath {
    std::vector<std::pair<std::string, std::size_t>> children;  ///< list and place in it, from 0
    std::string pattern;  ///< its name in the key table
    std::string shown;  ///< as a person names it
    const Key* key = nullptr;
    std::optional<std::size_t> item;  ///< place in its list, from 0; none: the whole entry

    /// Whether setting one changes what the other sets.
    [[nodiscard]] bool meets(const EntryPath& other) const {
        return pattern == other.pattern && children == other.children &&
               (!item || !other.item || item == other.item);
    }
};

/// The entry that `name` ("slot.width", "point.A4.speed", "throttle.2.bore") means.
/// @param problem  what to say where there is none
[[nodiscard]] std::optional<EntryPath> find_entry(const Scope& root,
                                                  std::string_view name,
                                                  std::string& problem);
/// The same; or, where the case has several banks and `name` names a part without its bank, that
/// entry of every bank, each with its own name ("bank.left.slot.width"). Empty where there is none.
[[nodiscard]] std::vector<EntryPath> find_entries(const Scope& root,
                                                  std::string_view name,
                                                  std::string& problem);
void assign(Scope& root, const EntryPath& path, Value value);
/// The table of the case in which the entry stands.
[[nodiscard]] const Scope& scope_of(const Scope& root, const EntryPath& path);

/// Numbers between two ends that are written in the same unit.
struct SweepRange {
    double from = 0, to = 0;  ///< as written
    std::string unit;  ///< what follows the number, " mm"
    bool bare = false;  ///< written without quotes
    std::size_t steps = 0;  ///< values in equal steps, both ends included; 0: any number between
};

/// One entry that varies.
struct SweepAxis {
    EntryPath entry;
    std::vector<EntryPath> others = {};  ///< the same entry of the other banks
    Place place;
    std::vector<Value> values;  ///< of a list; of a range its two ends
    std::vector<std::string> texts;  ///< of a list: each as written
    std::optional<SweepRange> range;

    /// Number of values; 0 where any number between two ends may be taken.
    [[nodiscard]] std::size_t size() const { return range ? range->steps : values.size(); }
    /// Whether every value is one number.
    [[nodiscard]] bool numeric() const;
    [[nodiscard]] Value value(std::size_t index, const geometry::PressureContext& context) const;
    /// At a place from 0 to 1 between the ends, or along the list or the steps.
    [[nodiscard]] Value value_at(double place_between,
                                 const geometry::PressureContext& context) const;
};

struct SweepAxes {
    Place place;
    std::vector<SweepAxis> axes;  ///< in the order of the file
    std::string method = "grid";
    std::optional<std::size_t> count;
    std::uint64_t seed = 1;
    double tolerance = sweep_tolerance;
    geometry::PressureContext context;
};

/// Reads [sweep]; reports every fault of it. Nothing where the file has none.
[[nodiscard]] std::optional<SweepAxes> read_axes(const toml::table& table, Messages& messages);

/// "3 mm" in its number and what follows it.
[[nodiscard]] std::optional<std::pair<double, std::string>> number_and_unit(
    const std::string& text);

/// What is wrong with the steps of a range.
struct StepFault {
    Place place;
    std::string text;
};

/// Reads `steps` or `step` of a range whose ends are known; where it has neither, none are set.
[[nodiscard]] std::optional<StepFault> read_steps(const EntryPath& entry,
                                                  const toml::table& table,
                                                  SweepRange& range);

/// A number of a range as the value of its entry, read as if it stood in the file.
[[nodiscard]] Value range_value(const EntryPath& entry,
                                const SweepRange& range,
                                double number,
                                ValueReader& reader);

}  // namespace plenair::file

#include "cases/file/free_numbers.hpp"

#include "cases/file/build.hpp"
#include "cases/file/toml.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace plenair::file {
namespace {

constexpr int number_digits = 12;
const std::vector<std::string> range_words = {"from", "to", "step", "stations", "change", "per"};

bool is_range(const toml::table& table) {
    return table.empty() || std::any_of(table.begin(), table.end(), [](const auto& item) {
               return std::find(range_words.begin(), range_words.end(), item.first.str()) !=
                      range_words.end();
           });
}

/// Reads one table of entries.
class EntriesReader final {
public:
    EntriesReader(const Scope& root,
                  std::string section,
                  const geometry::PressureContext& context,
                  Messages& messages)
        : root_(root),
          section_(std::move(section)),
          messages_(messages),
          reader_(messages, context) {}

    void table(const std::string& prefix, const toml::table& table);
    std::vector<FreeEntry> take() { return std::move(made_); }

private:
    void entry(const std::string& name, Place place, const toml::node& node);
    [[nodiscard]] bool bound(FreeEntry& made, const toml::node& node, double& number);
    /// What to name for a size of the one-piece slot that stands beside pieces or holes; empty:
    /// nothing is wrong.
    [[nodiscard]] std::string fault_beside_parts(const FreeEntry& made) const;
    void read_bounds(FreeEntry& made, const toml::table& table);
    void read_step(FreeEntry& made, const toml::table& table);
    void read_stations(FreeEntry& made, const toml::table& table);
    void fault(const FreeEntry& made, const toml::node& node, const std::string& rule) {
        messages_.error(
            place_of(node.source()),
            fmt::format("{}.{} = {}: {}", section_, made.shown, short_text(node), rule));
    }

    const Scope& root_;
    std::string section_;
    Messages& messages_;
    ValueReader reader_;
    std::vector<FreeEntry> made_;
};

void EntriesReader::table(const std::string& prefix, const toml::table& table) {
    for (const auto& [key, node] : table) {
        const std::string name = join_keys(prefix, key.str());
        const auto* inner = node.as_table();
        if (inner != nullptr && !is_range(*inner)) {
            this->table(name, *inner);
        } else {
            entry(name, place_of(key.source()), node);
        }
    }
}

bool EntriesReader::bound(FreeEntry& made, const toml::node& node, double& number) {
    const auto text = node.value<std::string>();
    const bool bare = node.is_number();
    const auto parts = bare ? std::pair(node.value_or(0.0), std::string{})
                            : number_and_unit(text.value_or("")).value_or(std::pair(NAN, ""));
    const Value value = reader_.read(*made.paths.front().key, made.shown, node);
    if (!value.good) {
        return false;
    }
    const Kind kind = made.paths.front().key->kind;
    if (std::isnan(parts.first) || value.numbers.size() != 1 || value.form != Form::plain ||
        kind == Kind::flag || kind == Kind::integer) {
        fault(made,
              node,
              "only one number that may take any value can be chosen; "
              "write the bound like \"3 mm\", or take the entry out");
        return false;
    }
    made.range.unit = parts.second;
    made.range.bare = bare;
    number = parts.first;
    return true;
}

void EntriesReader::read_bounds(FreeEntry& made, const toml::table& table) {
    FreeEntry end = made;
    if (!bound(made, *table.get("from"), made.range.from) ||
        !bound(end, *table.get("to"), made.range.to)) {
        return;
    }
    if (end.range.unit != made.range.unit || end.range.bare != made.range.bare) {
        fault(made, *table.get("to"), "write both bounds in one unit");
    } else if (made.range.from == made.range.to) {
        fault(
            made, *table.get("to"), "both bounds are the same: nothing can vary; move one of them");
    } else if (!(made.range.from < made.range.to)) {
        fault(made,
              *table.get("to"),
              fmt::format("the bounds cross: from = {}{} is not below it; exchange them",
                          geometry::format_number(made.range.from),
                          made.range.unit));
    } else {
        read_step(made, table);
        read_stations(made, table);
        made_.push_back(std::move(made));
    }
}

void EntriesReader::read_step(FreeEntry& made, const toml::table& table) {
    const double span = made.range.to - made.range.from;
    const auto* step = table.get("step");
    if (step == nullptr) {
        messages_.error(made.place,
                        fmt::format("{}.{}: step is missing: the smallest change that the shop "
                                    "makes; write e.g. step = \"{}{}\"",
                                    section_,
                                    made.shown,
                                    geometry::format_number(span / 50, 1),
                                    made.range.unit));
        return;
    }
    const auto text = step->value<std::string>();
    const auto parts = step->is_number()
                           ? std::pair(step->value_or(0.0), std::string{})
                           : number_and_unit(text.value_or("")).value_or(std::pair(NAN, ""));
    // "5 kPa" steps between pressures that say abs.
    if (std::isnan(parts.first) || !made.range.unit.starts_with(parts.second) ||
        parts.second.empty() != made.range.unit.empty()) {
        fault(made, *step, "step must be a number in the unit of both bounds");
    } else if (!(parts.first > 0) || parts.first > span) {
        fault(made,
              *step,
              fmt::format("step must be above 0 and at most {}{}, from bound to bound",
                          geometry::format_number(span),
                          made.range.unit));
    } else {
        made.step = parts.first;
    }
}

void EntriesReader::read_stations(FreeEntry& made, const toml::table& table) {
    const auto* count = table.get("stations");
    const auto* change = table.get("change");
    const auto* per = table.get("per");
    if (count == nullptr) {
        if (change != nullptr || per != nullptr) {
            fault(made,
                  change != nullptr ? *change : *per,
                  "belongs to stations; write stations = 9");
        }
        return;
    }
    const auto number = count->value<std::int64_t>();
    const std::string& pattern = made.paths.front().pattern;
    if (made.paths.front().key->kind != Kind::profile || pattern.starts_with("slot.pieces")) {
        fault(made,
              *count,
              "only a width or section along x has stations: slot.width, "
              "pre_chamber.area, plenum.area");
    } else if (!count->is_integer() || !number || *number < 2 || *number > 50) {
        fault(made, *count, "must be a whole number from 2 to 50");
    } else {
        made.stations = static_cast<std::size_t>(*number);
    }
    if (change == nullptr && per == nullptr) {
        return;
    }
    const auto steepest =
        number_and_unit(change == nullptr ? "" : change->value<std::string>().value_or(""));
    const auto length = geometry::parse_quantity(
        per == nullptr ? "" : per->value<std::string>().value_or(""), Dimension::length);
    if (!steepest || steepest->second != made.range.unit || !(steepest->first > 0) ||
        !length.value || !(*length.value > 0)) {
        messages_.error(made.place,
                        fmt::format("{}.{}: the largest change along x needs both; write change = "
                                    "\"0.5{}\", per = \"100 mm\"",
                                    section_,
                                    made.shown,
                                    made.range.unit));
        return;
    }
    made.slope = steepest->first / *length.value;
}

std::string EntriesReader::fault_beside_parts(const FreeEntry& made) const {
    for (const auto& path : made.paths) {
        const Scope& scope = scope_of(root_, path);
        if (path.pattern != "slot.width" && path.pattern != "slot.length" &&
            path.pattern != "slot.x") {
            continue;
        }
        const auto slot = made.shown.substr(0, made.shown.rfind('.'));
        const auto size = path.pattern.substr(path.pattern.rfind('.') + 1);
        if (scope.has("slot.pieces")) {
            return fmt::format(
                "{0} has pieces; name the size of one, such as {0}.pieces.1.{1}", slot, size);
        }
        if (scope.has("slot.holes")) {
            const std::string of_holes = size == "width" ? "diameter" : size;
            return scope.find("slot.holes." + of_holes) != nullptr
                       ? fmt::format("{0} has holes; name {0}.holes.{1}", slot, of_holes)
                       : fmt::format("{} has holes; name a size of them, or take it out", slot);
        }
    }
    return "";
}

void EntriesReader::entry(const std::string& name, Place place, const toml::node& node) {
    std::string problem;
    FreeEntry made;
    made.shown = name;
    made.place = place;
    made.paths = find_entries(root_, name, problem);
    if (made.paths.empty()) {
        messages_.error(place, fmt::format("{}: {}", section_, problem));
        return;
    }
    if (const auto beside = fault_beside_parts(made); !beside.empty()) {
        messages_.error(place, fmt::format("{}.{}: {}", section_, name, beside));
        return;
    }
    const auto* table = node.as_table();
    if (table == nullptr || !table->contains("from") || !table->contains("to")) {
        fault(made,
              node,
              "needs bounds and a step; write { from = \"3 mm\", to = \"10 mm\", step "
              "= \"0.1 mm\" }");
        return;
    }
    for (const auto& [word, ignored] : *table) {
        if (std::find(range_words.begin(), range_words.end(), word.str()) == range_words.end()) {
            const auto near = nearest_word(word.str(), range_words);
            messages_.error(
                place_of(word.source()),
                fmt::format("unknown key {}.{}.{}; {}",
                            section_,
                            name,
                            word.str(),
                            near.empty() ? fmt::format("it takes {}", fmt::join(range_words, ", "))
                                         : fmt::format("did you mean {}?", near)));
            return;
        }
    }
    read_bounds(made, *table);
}

std::string written(double number, const FreeEntry& entry) {
    return geometry::format_number(number, number_digits) + entry.range.unit;
}

/// Value of the entry as written for numbers at stations: two texts, x and value, x in inches too
/// where the value is.
std::pair<std::string, std::string> station_texts(const std::vector<double>& places,
                                                  const std::vector<double>& numbers,
                                                  const std::string& unit) {
    std::vector<std::string> x, value;
    const std::string length = unit.ends_with("in") ? "in" : "mm";
    for (std::size_t i = 0; i < numbers.size(); ++i) {
        x.push_back(geometry::format_number(geometry::to_unit(places[i], length), number_digits));
        value.push_back(geometry::format_number(numbers[i], number_digits));
    }
    return {fmt::format("{} {}", fmt::join(x, ", "), length),
            fmt::format("{}{}", fmt::join(value, ", "), unit)};
}

/// The SI value of a bound.
double si_of(const FreeEntry& entry, double number, const geometry::PressureContext& context) {
    Messages ignored("");
    ValueReader reader(ignored, context);
    return range_value(entry.paths.front(), entry.range, number, reader).number();
}

std::string length_key(const std::string& pattern) {
    return pattern.substr(0, pattern.rfind('.')) + ".length";
}

}  // namespace

std::vector<FreeEntry> read_free_entries(const Scope& root,
                                         const std::string& section,
                                         const toml::table& table,
                                         const geometry::PressureContext& context,
                                         Messages& messages) {
    EntriesReader reader(root, section, context, messages);
    reader.table("", table);
    auto entries = reader.take();
    std::stable_sort(entries.begin(), entries.end(), [](const auto& a, const auto& b) {
        const auto rank = [](const Place& p) {
            return std::pair(p.line > 0 ? p.line : 1 << 30, p.column);
        };
        return rank(a.place) < rank(b.place);
    });
    return entries;
}

std::vector<double> station_places(const Scope& root, const FreeEntry& entry) {
    const auto& path = entry.paths.front();
    const double length = scope_of(root, path).number(length_key(path.pattern));
    std::vector<double> places;
    for (std::size_t i = 0; i < entry.stations; ++i) {
        places.push_back(length * static_cast<double>(i) / static_cast<double>(entry.stations - 1));
    }
    return places;
}

std::vector<FreeNumber> free_numbers(const Scope& root,
                                     const FreeEntry& entry,
                                     const geometry::PressureContext& context) {
    const auto& path = entry.paths.front();
    const Value value = scope_of(root, path).value(path.pattern);
    const double low = si_of(entry, entry.range.from, context);
    const double high = si_of(entry, entry.range.to, context);
    // Units are linear, so the present value can be told in that of the bounds.
    const auto in_unit = [&](double si) {
        return entry.range.from + (si - low) / (high - low) * (entry.range.to - entry.range.from);
    };
    std::vector<FreeNumber> made;
    FreeNumber number;
    number.unit = entry.range.unit;
    number.low = entry.range.from;
    number.high = entry.range.to;
    number.step = entry.step;
    const geometry::Profile profile =
        value.numbers.empty() ? geometry::Profile{} : profile_of(value);
    if (entry.stations == 0) {
        double sum = 0;
        for (const double each : value.numbers) {
            sum += each / static_cast<double>(value.numbers.size());
        }
        number.key = entry.shown;
        number.present = in_unit(value.numbers.empty() ? low : sum);
        return {number};
    }
    for (const double place : station_places(root, entry)) {
        number.key =
            fmt::format("{} at {}", entry.shown, geometry::format_length(place, context.units));
        number.present = in_unit(profile.empty() ? low : profile.at(place));
        made.push_back(number);
    }
    return made;
}

void assign_numbers(Scope& root,
                    const FreeEntry& entry,
                    const std::vector<double>& numbers,
                    const geometry::PressureContext& context) {
    Messages ignored("");  // bounds have passed, and limits are intervals
    ValueReader reader(ignored, context);
    for (const auto& path : entry.paths) {
        Value value;
        if (entry.stations == 0) {
            value = range_value(path, entry.range, numbers.front(), reader);
        } else {
            const auto [x, widths] =
                station_texts(station_places(root, entry), numbers, entry.range.unit);
            toml::table table;
            table.insert("x", x);
            table.insert("value", widths);
            value = reader.read(*path.key, path.shown, table);
        }
        value.place = entry.place;
        assign(root, path, std::move(value));
    }
}

std::vector<std::string> sets_of(const Scope& root,
                                 const FreeEntry& entry,
                                 const std::vector<double>& numbers) {
    std::vector<std::string> sets;
    for (const auto& path : entry.paths) {
        if (entry.stations == 0) {
            sets.push_back(fmt::format("{}={}", path.shown, written(numbers.front(), entry)));
            continue;
        }
        const auto [x, widths] =
            station_texts(station_places(root, entry), numbers, entry.range.unit);
        sets.push_back(fmt::format("{}={{ x = \"{}\", value = \"{}\" }}", path.shown, x, widths));
    }
    return sets;
}

}  // namespace plenair::file

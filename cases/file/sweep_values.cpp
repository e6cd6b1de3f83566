#include "cases/file/sweep_axes.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

/// The values of a swept entry.
namespace plenair::file {
namespace {

constexpr int kDigits = 12;  ///< of numbers between two ends: 4 mm is 4 mm, not 3.9999999999999996

}  // namespace

std::optional<std::pair<double, std::string>> number_and_unit(const std::string& text) {
    double number = 0;
    const auto end = std::from_chars(text.data(), text.data() + text.size(), number);
    if (end.ec != std::errc{} || !std::isfinite(number)) {
        return std::nullopt;
    }
    return std::pair(number, std::string(end.ptr, text.data() + text.size()));
}

bool SweepAxis::numeric() const {
    const Kind kind = entry.key->kind;
    const bool may = kind == Kind::integer || kind == Kind::number || kind == Kind::numbers ||
                     kind == Kind::quantity || kind == Kind::quantities || kind == Kind::profile ||
                     kind == Kind::taper;
    return may && std::all_of(values.begin(), values.end(), [](const Value& value) {
               return value.form == Form::plain && value.numbers.size() == 1;
           });
}

Value range_value(const EntryPath& entry,
                  const SweepRange& range,
                  double number,
                  ValueReader& reader) {
    const std::string text = geometry::format_number(number, kDigits);
    if (!range.bare) {
        return reader.read(*entry.key, entry.shown, toml::value<std::string>(text + range.unit));
    }
    Value value =
        entry.key->kind == Kind::integer
            ? reader.read(*entry.key, entry.shown, toml::value<std::int64_t>(std::llround(number)))
            : reader.read(
                  *entry.key, entry.shown, toml::value<double>(number_and_unit(text)->first));
    value.text = text;
    return value;
}

Value SweepAxis::value(std::size_t index, const geometry::PressureContext& context) const {
    if (!range) {
        return values[index];
    }
    return value_at(static_cast<double>(index) / static_cast<double>(range->steps - 1), context);
}

Value SweepAxis::value_at(double place_between, const geometry::PressureContext& context) const {
    const double last = static_cast<double>(size()) - 1;
    if (!range) {
        return values[static_cast<std::size_t>(std::min(last, place_between * (last + 1)))];
    }
    Messages ignored("");  // Both ends have passed, and limits are intervals.
    ValueReader reader(ignored, context);
    const double number = range->from + place_between * (range->to - range->from);
    Value made = range_value(entry, *range, number, reader);
    made.place = place;
    return made;
}

}  // namespace plenair::file

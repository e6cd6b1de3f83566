#include "cases/file/sweep_axes.hpp"
#include "cases/file/toml.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

/// The values of a swept entry.
namespace plenair::file {
namespace {

constexpr int digits = 12;  ///< of numbers between two ends: 4 mm is 4 mm, not 3.9999999999999996

/// The value of a range at a place from 0 (its first end) to 1.
Value between(const SweepAxis& axis, double place, const geometry::PressureContext& context) {
    Messages ignored("");  // Both ends have passed, and limits are intervals.
    ValueReader reader(ignored, context);
    const double number = axis.range->from + place * (axis.range->to - axis.range->from);
    Value made = range_value(axis.entry, *axis.range, number, reader);
    made.place = axis.place;
    return made;
}

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
    const std::string text = geometry::format_number(number, digits);
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
    return between(
        *this, static_cast<double>(index) / static_cast<double>(range->steps - 1), context);
}

Value SweepAxis::value_at(double place_between, const geometry::PressureContext& context) const {
    if (size() == 0) {
        return between(*this, place_between, context);
    }
    // Each value of a list, and each step of a range, has an equal part of the way.
    const auto count = static_cast<double>(size());
    return value(static_cast<std::size_t>(std::min(count - 1, place_between * count)), context);
}

}  // namespace plenair::file

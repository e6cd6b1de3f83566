#include "cases/file/normalise.hpp"

#include "cases/base/sha256.hpp"

#include <algorithm>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace plenair::file {
namespace {

geometry::PressureKind pressure_kind(const Key& key) {
    return key.difference ? geometry::PressureKind::difference : geometry::PressureKind::absolute;
}

using geometry::OutputUnits;

/// Digits of the longest number of a text: "1.98, 15.82 in" has 4.
int digits_of(std::string_view text) {
    int most = 0, now = 0;
    for (const char sign : text) {
        const bool digit = sign >= '0' && sign <= '9';
        now = digit ? now + 1 : sign == '.' ? now : 0;
        most = std::max(most, now);
    }
    return most;
}

/// Digits to show of an entry: where it is read in the units that it was written in, all; where it
/// was converted, as many as it has and two more, so that 6.2 in2 is 4000 mm2 and not 3999.992.
int shown_digits(const Value& value, const OutputUnits& units) {
    constexpr int all = 6, least = 4;
    const bool inches = value.text.ends_with(" in") || value.text.ends_with(" in2");
    return inches == units.inches() ? all : std::clamp(digits_of(value.text) + 2, least, all);
}

std::string show(const Value& value,
                 const std::vector<double>& numbers,
                 Dimension dimension,
                 const OutputUnits& units) {
    const int digits = shown_digits(value, units);
    std::vector<std::string> shown;
    for (const double number : numbers) {
        shown.push_back(
            geometry::format_quantity(number, dimension, pressure_kind(*value.key), units, digits));
    }
    return fmt::format("{}", fmt::join(shown, ", "));
}

}  // namespace

std::string normalised(const Value& value, const OutputUnits& units) {
    const Key& key = *value.key;
    if (key.kind == Kind::flag) {
        return value.number() != 0 ? "on" : "off";
    }
    if (!value.words.empty()) {
        return fmt::format("{}", fmt::join(value.words, ", "));
    }
    if (key.kind == Kind::table) {
        const auto names = split(key.choices, '|');
        const auto x_dimension = column_dimension(names[0]);
        const auto dimension = column_dimension(names[1]);
        return fmt::format("{} {}: {} {}",
                           names[0],
                           show(value, value.x, x_dimension, units),
                           names[1],
                           show(value, value.numbers, dimension, units));
    }
    const auto numbers = show(value, value.numbers, key.dimension, units);
    if (value.form == Form::taper) {
        return fmt::format("{} to {}", numbers, show(value, value.ends, key.dimension, units));
    }
    if (value.form == Form::stations && key.kind == Kind::over_speed) {
        return fmt::format(
            "{} at speed {}", numbers, show(value, value.x, Dimension::speed, units));
    }
    if (value.form == Form::stations) {
        return fmt::format("{} at x {}", numbers, show(value, value.x, Dimension::length, units));
    }
    return numbers;
}

std::vector<std::string> echo(const Scope& root, const OutputUnits& units) {
    std::vector<std::string> lines;
    for (const Value* value : all_values(root)) {
        lines.push_back(fmt::format("{} = {}", value->shown, normalised(*value, units)));
    }
    return lines;
}

std::string digest(const Scope& root) {
    // 12 digits: one entry in two units differs only beyond them.
    const auto column = [](const std::vector<double>& numbers) {
        std::string text;
        for (const double number : numbers) {
            text += fmt::format(" {:.12g}", number);
        }
        return text;
    };
    std::vector<std::string> lines;
    for (const Value* value : all_values(root)) {
        if (value->key->name == "case.units") {
            continue;  // How people read a result is no part of it.
        }
        lines.push_back(fmt::format("{}|{}|{}|{}|{}\n",
                                    value->shown,
                                    column(value->x),
                                    column(value->numbers),
                                    column(value->ends),
                                    fmt::join(value->words, "|")));
    }
    // What is assumed moves the bands, so it belongs to what was asked.
    for (const auto& entry : root.assumed) {
        lines.push_back(fmt::format("assumed|{}|{}|{}\n", entry.key, entry.basis, entry.within));
    }
    std::sort(lines.begin(), lines.end());
    return "sha256:" + sha256(fmt::format("{}", fmt::join(lines, "")));
}

}  // namespace plenair::file

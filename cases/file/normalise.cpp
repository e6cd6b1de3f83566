#include "cases/file/normalise.hpp"

#include "cases/study/sha256.hpp"

#include <algorithm>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace plenair::file {
namespace {

geometry::PressureKind pressure_kind(const Key& key) {
    return key.difference ? geometry::PressureKind::difference : geometry::PressureKind::absolute;
}

std::string show(const Value& value, const std::vector<double>& numbers, Dimension dimension) {
    std::vector<std::string> shown;
    for (const double number : numbers) {
        shown.push_back(geometry::format_quantity(number, dimension, pressure_kind(*value.key)));
    }
    return fmt::format("{}", fmt::join(shown, ", "));
}

std::string normalised(const Value& value) {
    const Key& key = *value.key;
    if (key.kind == Kind::flag) {
        return value.number() != 0 ? "on" : "off";
    }
    if (!value.words.empty()) {
        return fmt::format("{}", fmt::join(value.words, ", "));
    }
    if (key.kind == Kind::table) {
        const auto names = split(key.choices, '|');
        const auto x_dimension = names[0] == "angle" ? Dimension::angle : Dimension::none;
        const auto dimension = names[1] == "lift" ? Dimension::length : Dimension::none;
        return fmt::format("{} {}: {} {}",
                           names[0],
                           show(value, value.x, x_dimension),
                           names[1],
                           show(value, value.numbers, dimension));
    }
    const auto numbers = show(value, value.numbers, key.dimension);
    if (value.form == Form::taper) {
        return fmt::format("{} to {}", numbers, show(value, value.ends, key.dimension));
    }
    if (value.form == Form::stations && key.kind == Kind::over_speed) {
        return fmt::format("{} at speed {}", numbers, show(value, value.x, Dimension::speed));
    }
    if (value.form == Form::stations) {
        return fmt::format("{} at x {}", numbers, show(value, value.x, Dimension::length));
    }
    return numbers;
}

}  // namespace

std::vector<std::string> echo(const Scope& root) {
    std::vector<std::string> lines;
    for (const Value* value : all_values(root)) {
        lines.push_back(fmt::format("{} = {}", value->shown, normalised(*value)));
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
        lines.push_back(fmt::format("{}|{}|{}|{}|{}\n",
                                    value->shown,
                                    column(value->x),
                                    column(value->numbers),
                                    column(value->ends),
                                    fmt::join(value->words, "|")));
    }
    std::sort(lines.begin(), lines.end());
    return "sha256:" + sha256(fmt::format("{}", fmt::join(lines, "")));
}

}  // namespace plenair::file

#include "cases/command/option_kinds.hpp"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <optional>
#include <string_view>

#include "cases/base/whole_number.hpp"
#include "geometry/quantity.hpp"

namespace plenair::command {

namespace {

std::optional<double> finite_number(std::string_view text) {
    double number = 0;
    const char* end = text.data() + text.size();
    const auto read = std::from_chars(text.data(), end, number);
    const bool whole = read.ec == std::errc{} && read.ptr == end && std::isfinite(number);
    return whole ? std::optional(number) : std::nullopt;
}

std::string refusal(const std::string& text, const char* kind, const NumberRange& range) {
    // A long limit is read more easily in full than as 1e+06.
    constexpr int digits = 15;
    return fmt::format("'{}' is not a {} from {} to {}{}; write for example {}",
                       text,
                       kind,
                       geometry::format_number(range.low, digits),
                       geometry::format_number(range.high, digits),
                       range.unit.empty() ? "" : " " + range.unit,
                       range.example);
}

}  // namespace

CLI::Option* add_number(CLI::App& verb,
                        const std::string& names,
                        double& target,
                        const NumberRange& range,
                        const std::string& help) {
    const auto take = [&target](const std::string& text) {
        target = finite_number(text).value_or(target);
    };
    const auto fits = [range](const std::string& text) {
        const auto number = finite_number(text);
        const bool inside = number && *number >= range.low && *number <= range.high;
        return inside ? std::string() : refusal(text, "number", range);
    };
    return verb.add_option_function<std::string>(names, take, help)
        ->check(CLI::Validator(fits, ""));
}

CLI::Option* add_whole_number(CLI::App& verb,
                              const std::string& names,
                              std::size_t& target,
                              const NumberRange& range,
                              const std::string& help) {
    const auto take = [&target](const std::string& text) {
        target = whole_number(text).value_or(target);
    };
    const auto fits = [range](const std::string& text) {
        const auto number = whole_number(text);
        const bool inside = number && static_cast<double>(*number) >= range.low &&
                            static_cast<double>(*number) <= range.high;
        return inside ? std::string() : refusal(text, "whole number", range);
    };
    return verb.add_option_function<std::string>(names, take, help)
        ->check(CLI::Validator(fits, ""));
}

CLI::Option* add_name(CLI::App& verb,
                      const std::string& names,
                      std::string& target,
                      const std::string& help) {
    const auto fits = [](const std::string& text) {
        return text.find_first_not_of(' ') == std::string::npos
                   ? "is empty; write what it names, or leave the option out"
                   : std::string();
    };
    return verb.add_option(names, target, help)->check(CLI::Validator(fits, ""));
}

}  // namespace plenair::command

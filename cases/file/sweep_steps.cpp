#include "cases/file/sweep_axes.hpp"
#include "cases/file/toml.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

/// How many values a range has.
namespace plenair::file {
namespace {

constexpr double slack = 1e-9;  ///< 0.7 / 0.1 is a little below 7

StepFault fault(const EntryPath& entry, const toml::node& node, const std::string& rule) {
    return {place_of(node.source()),
            fmt::format("{} = {}: {}", entry.shown, short_text(node), rule)};
}

/// "9 mm" in quotes, or 9 where the ends stand without.
std::string written(double number, const std::string& unit, bool bare) {
    const auto text = geometry::format_number(number) + unit;
    return bare ? text : "\"" + text + "\"";
}

bool is_whole(double number) {
    return std::abs(number - std::round(number)) <= slack * std::max(1.0, std::abs(number));
}

/// The step nearest to the wanted one that divides the span and is short to write.
double dividing_step(double span, double step, bool integer) {
    constexpr int farthest = 1000;
    const double wanted = std::max(1.0, std::round(span / step));
    double best = span;
    for (int away = -farthest; away <= farthest; ++away) {
        const double count = std::max(1.0, wanted + away);
        const auto shown = number_and_unit(geometry::format_number(span / count));
        const bool fits = shown && is_whole(span / shown->first) &&
                          (!integer || shown->first == std::round(shown->first));
        if (fits && std::abs(shown->first - step) < std::abs(best - step)) {
            best = shown->first;
        }
    }
    return best;
}

std::optional<StepFault> read_step(const EntryPath& entry,
                                   const toml::table& table,
                                   SweepRange& range) {
    const auto& step = *table.get("step");
    const auto text = step.value<std::string>();
    const auto parts = step.is_number()
                           ? std::pair(step.value_or(0.0), std::string{})
                           : number_and_unit(text.value_or("")).value_or(std::pair(NAN, ""));
    // "5 kPa" steps between pressures that say abs.
    if (std::isnan(parts.first) || !range.unit.starts_with(parts.second) ||
        parts.second.empty() != range.unit.empty()) {
        return fault(entry, step, "step must be a number in the unit of both ends");
    }
    const double span = range.to - range.from;
    if (parts.first == 0) {
        return fault(entry,
                     step,
                     fmt::format("a step of 0 never arrives; write step = {}",
                                 written(span, parts.second, range.bare)));
    }
    if (parts.first * span < 0) {
        return fault(entry,
                     step,
                     fmt::format("step leads away from \"to\", so the range holds 0 values; write "
                                 "step = {}",
                                 written(-parts.first, parts.second, range.bare)));
    }
    const double count = span / parts.first;
    const double whole = std::max(1.0, std::ceil(count - 0.5 - slack));
    if (!is_whole(count) || count < 0.5) {
        const double other = dividing_step(span, parts.first, entry.key->kind == Kind::integer);
        return StepFault{
            place_of(table.get("to")->source()),
            fmt::format("{}: to = {} is not a whole number of steps of {} from {}; write to = {}, "
                        "or step = {}",
                        entry.shown,
                        short_text(*table.get("to")),
                        short_text(step),
                        short_text(*table.get("from")),
                        written(range.from + whole * parts.first, range.unit, range.bare),
                        written(other, parts.second, range.bare))};
    }
    range.steps = static_cast<std::size_t>(std::min(whole, 1e15)) + 1;
    return std::nullopt;
}

}  // namespace

std::optional<StepFault> read_steps(const EntryPath& entry,
                                    const toml::table& table,
                                    SweepRange& range) {
    const auto* count = table.get("steps");
    const auto* step = table.get("step");
    if (range.from == range.to) {
        return fault(entry,
                     *table.get("to"),
                     "both ends are the same, and a range needs two; write another to");
    }
    if (count && step) {
        return fault(entry, *step, "beside steps; give one of them");
    }
    if (count) {
        const auto whole = count->is_integer() ? count->value_or<std::int64_t>(0) : 0;
        if (whole < 2) {
            return StepFault{
                place_of(count->source()),
                fmt::format("{}.steps = {}: must be a whole number of values, at least "
                            "2; write e.g. steps = 8",
                            entry.shown,
                            short_text(*count))};
        }
        range.steps = static_cast<std::size_t>(whole);
    } else if (step) {
        if (auto wrong = read_step(entry, table, range)) {
            return wrong;
        }
    }
    if (entry.key->kind == Kind::integer && range.steps > 1) {
        const double width = (range.to - range.from) / static_cast<double>(range.steps - 1);
        if (width != std::round(width)) {
            return fault(entry,
                         *table.get("to"),
                         fmt::format("{} steps of {} are not whole numbers",
                                     range.steps,
                                     geometry::format_number(width)));
        }
    }
    return std::nullopt;
}

}  // namespace plenair::file

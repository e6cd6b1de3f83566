#include "cases/file/value_limit.hpp"

#include "cases/file/value.hpp"

#include <cmath>
#include <optional>
#include <unordered_map>

#include <fmt/format.h>

/// Limits of the key table: errors outside them, warnings outside the usual band.
namespace plenair::file {
namespace {

struct Limit {
    std::string_view rule;  ///< "above", "at least", "at most", "below"
    std::string_view text;  ///< "0 mm"
    double number = 0;
    bool exclusive = false;
    bool high = false;

    [[nodiscard]] bool broken_by(double value) const {
        // A limit itself must pass whatever unit it was written in.
        const double slack = 1e-12 * std::abs(number);
        if (high) {
            return exclusive ? value >= number - slack : value > number + slack;
        }
        return exclusive ? value <= number + slack : value < number - slack;
    }
};

double parse_bound(const Key& key, std::string_view text) {
    geometry::PressureContext context;
    context.kind =
        key.difference ? geometry::PressureKind::difference : geometry::PressureKind::absolute;
    return geometry::parse_quantity(text, key.dimension, context).value.value_or(0);
}

Limit parse_limit(const Key& key, std::string_view text) {
    const auto space = text.find(' ');
    const auto operation = text.substr(0, space);
    Limit limit;
    limit.text = text.substr(space + 1);
    limit.number = parse_bound(key, limit.text);
    limit.high = operation.front() == '<';
    limit.exclusive = operation.size() == 1;
    limit.rule = limit.high ? (limit.exclusive ? "below" : "at most")
                            : (limit.exclusive ? "above" : "at least");
    return limit;
}

/// What a key says about its numbers.
struct Bounds {
    std::optional<Limit> low, high;
    std::optional<double> usual_low, usual_high;
};

Bounds parse_bounds(const Key& key) {
    Bounds bounds;
    const auto limit = [&key](std::string_view text) {
        return text.empty() ? std::nullopt : std::optional(parse_limit(key, text));
    };
    const auto bound = [&key](std::string_view text) {
        return text.empty() ? std::nullopt : std::optional(parse_bound(key, text));
    };
    bounds.low = limit(key.low);
    bounds.high = limit(key.high);
    bounds.usual_low = bound(key.usual_low);
    bounds.usual_high = bound(key.usual_high);
    return bounds;
}

/// The same, read once for the keys of the tables: each cell of a log asks for them.
Bounds bounds_of(const Key& key) {
    static const auto known = [] {
        std::unordered_map<const Key*, Bounds> all;
        for (const auto* table : {&case_table(), &measured_table()}) {
            for (const auto& each : table->keys()) {
                all.emplace(&each, parse_bounds(each));
            }
        }
        return all;
    }();
    const auto found = known.find(&key);
    return found == known.end() ? parse_bounds(key) : found->second;
}

/// A millionth of the usual unit: smaller metal cannot be made or measured, and its flow not be
/// computed. 0 for other dimensions.
double least_metal(Dimension dimension) {
    const bool metal = dimension == Dimension::length || dimension == Dimension::area ||
                       dimension == Dimension::volume;
    return metal ? geometry::from_unit(1e-6, geometry::usual_unit(dimension)) : 0;
}

/// Beyond any drawing, in SI: a kilometre, its square and cube, a million radians a second. What
/// has a narrower limit of its own says so itself.
double most_ever(Dimension dimension) {
    switch (dimension) {
        case Dimension::length:
            return 1e3;
        case Dimension::area:
        case Dimension::speed:
            return 1e6;
        case Dimension::volume:
            return 1e9;
        default:
            return 1e18;
    }
}

/// A bound of the table in the units of the case: "1.97 in" for "50 mm".
std::string bound_in(const Key& key, std::string_view text, const geometry::OutputUnits& units) {
    const bool metal = key.dimension == Dimension::length || key.dimension == Dimension::area;
    if (!metal || !units.inches()) {
        return std::string(text);
    }
    constexpr int digits = 3;
    const auto unit = geometry::usual_unit(key.dimension, units);
    return fmt::format("{} {}", geometry::format_in(parse_bound(key, text), unit, digits), unit);
}

}  // namespace

std::string ValueReader::shown_bound(const Key& key, std::string_view text) const {
    return bound_in(key, text, context_.units);
}

std::optional<std::string> ValueReader::limit_fault(const Key& key,
                                                    const std::string& written,
                                                    double number) const {
    return file::limit_fault(key, written, number, context_.units);
}

std::optional<std::string> limit_fault(const Key& key,
                                       const std::string& written,
                                       double number,
                                       const geometry::OutputUnits& units) {
    if (std::abs(number) > most_ever(key.dimension) && key.high.empty()) {
        return "is larger than anything on a drawing" +
               (key.example.empty() ? "; check the number and its unit" : example_of(key, units));
    }
    const Bounds bounds = bounds_of(key);
    for (const auto& each : {bounds.low, bounds.high}) {
        if (!each) {
            continue;
        }
        const Limit& limit = *each;
        if (limit.number == 0 && limit.exclusive && !limit.high && number > 0 &&
            number < least_metal(key.dimension)) {
            return fmt::format("is less than a millionth of a {}{}",
                               geometry::usual_unit(key.dimension),
                               example_of(key, units));
        }
        if (!limit.broken_by(number)) {
            continue;
        }
        const bool absolute = key.dimension == Dimension::pressure && !key.difference;
        if (absolute && limit.high) {
            const bool kpa = written.find("kPa") != std::string::npos;
            return fmt::format("{:.0f} kPa abs: above the {:.0f} kPa limit; {}",
                               geometry::to_unit(number, "kPa"),
                               geometry::to_unit(limit.number, "kPa"),
                               kpa ? "check the number" : "did you mean kPa?");
        }
        if (key.dimension == Dimension::temperature) {
            return fmt::format("temperature {:.0f} K {} {:.0f} K limit: unit? Write e.g. {}",
                               number,
                               limit.high ? "above" : "below",
                               limit.number,
                               key.example);
        }
        if (key.name.ends_with(".lambda") && limit.high) {
            return std::string(
                "looks like an air-fuel ratio; give lambda, or air_fuel_ratio with fuel.stoich");
        }
        if (key.choices.ends_with("|cd") || key.name.ends_with(".cd")) {
            // A table holds readings of a bench; one number is stated.
            const bool rows = key.kind == Kind::table;
            return fmt::format("Cd {} {}{}",
                               geometry::format_number(number),
                               !limit.high ? "must be above 0"
                               : rows      ? "exceeds 1: check area, depression, leakage"
                                           : "must be at most 1",
                               !rows        ? example_of(key, units)
                               : limit.high ? ""
                                            : "; check the row");
        }
        return fmt::format("must be {} {}{}",
                           limit.rule,
                           bound_in(key, limit.text, units),
                           example_of(key, units));
    }
    return std::nullopt;
}

void ValueReader::check_limits(Value& value) {
    const Key& key = *value.key;
    for (const auto* numbers : {&value.numbers, &value.ends}) {
        for (std::size_t i = 0; i < numbers->size(); ++i) {
            if (const auto fault = limit_fault(key, value.text, (*numbers)[i])) {
                fail(value,
                     numbers->size() > 1
                         ? fmt::format("{} {}: {}",
                                       value.form == Form::stations ? "row" : "item",
                                       i + 1,
                                       *fault)
                         : *fault);
                return;
            }
        }
    }
    const Bounds bounds = bounds_of(key);
    for (const double number : value.numbers) {
        const bool under = bounds.usual_low && number < *bounds.usual_low;
        const bool over = bounds.usual_high && number > *bounds.usual_high;
        if (under || over) {
            messages_.warning(value.place,
                              fmt::format("{} = {}: outside the usual {} to {}; check it",
                                          value.shown,
                                          value.text,
                                          shown_bound(key, key.usual_low),
                                          shown_bound(key, key.usual_high)));
            return;
        }
    }
}

}  // namespace plenair::file

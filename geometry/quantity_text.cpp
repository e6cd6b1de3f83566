#include "geometry/quantity.hpp"
#include "geometry/unit.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace plenair::geometry {

namespace {

using std::numbers::pi;

std::string with_unit(double value, std::string_view unit, int digits = 6) {
    return format_in(value, unit, digits) + " " + std::string(unit);
}

/// At most `decimals` decimals, none of them needless.
std::string rounded_in(double value, std::string_view unit, int decimals) {
    std::string text = format_fixed(value, unit, decimals);
    text.resize(text.find(' '));
    if (text.find('.') != std::string::npos) {
        text.resize(text.find_last_not_of('0') + 1);
        if (text.back() == '.') {
            text.pop_back();
        }
    }
    return text + " " + std::string(unit);
}

/// Both systems of units; the one that people read first.
std::string in_both(double value, std::string_view metric, const OutputUnits& units, int digits) {
    constexpr int in_brackets = 4;  // digits
    constexpr int decimals_of_mm = 3, decimals_of_inch = 4;
    const auto inch = OutputUnits{UnitSystem::inch}.in_place_of(metric);
    if (!units.inches()) {
        return with_unit(value, metric, digits) + " (" + with_unit(value, inch, in_brackets) + ")";
    }
    if (metric == "mm") {
        const bool fine = std::abs(to_unit(value, inch)) < 1e-3;  // a roughness
        return (fine ? with_unit(value, inch, in_brackets)
                     : rounded_in(value, inch, decimals_of_inch)) +
               " (" +
               (fine ? with_unit(value, metric, in_brackets)
                     : rounded_in(value, metric, decimals_of_mm)) +
               ")";
    }
    return with_unit(value, inch, std::min(digits, 5)) + " (" +
           with_unit(value, metric, in_brackets) + ")";
}

/// Angle from the nearest dead centre of the four-stroke cycle.
std::string event_text(double value, Dimension dimension) {
    if (dimension == Dimension::firing_event) {
        return with_unit(std::abs(value), "deg") + (value < 0 ? " BTDC" : " ATDC");
    }
    const double bottom = dimension == Dimension::exhaust_event ? pi : 3 * pi;
    const double from_top = value - 2 * pi;
    const double from_bottom = value - bottom;
    const bool top = std::abs(from_top) < std::abs(from_bottom);
    const double distance = top ? from_top : from_bottom;
    const std::string side = distance < 0 ? " B" : " A";
    return with_unit(std::abs(distance), "deg") + side + (top ? "TDC" : "BDC");
}

}  // namespace

double to_unit(double value, std::string_view unit) {
    const auto* found = find_unit(unit);
    if (found == nullptr) {
        throw std::invalid_argument("no unit of the name " + std::string(unit));
    }
    return (value - found->offset) / found->factor;
}

double from_unit(double value, std::string_view unit) {
    const auto* found = find_unit(unit);
    if (found == nullptr) {
        throw std::invalid_argument("no unit of the name " + std::string(unit));
    }
    return value * found->factor + found->offset;
}

std::string format_number(double value, int digits) {
    std::array<char, 64> buffer{};
    const auto end = std::to_chars(
        buffer.data(), buffer.data() + buffer.size(), value, std::chars_format::general, digits);
    return {buffer.data(), end.ptr};
}

std::string format_in(double value, std::string_view unit, int digits) {
    return format_number(to_unit(value, unit), digits);
}

std::string format_fixed(double value, std::string_view unit, int decimals) {
    std::array<char, 400> buffer{};  // a double has up to 309 digits before the point
    const auto end = std::to_chars(buffer.data(),
                                   buffer.data() + buffer.size(),
                                   to_unit(value, unit),
                                   std::chars_format::fixed,
                                   decimals);
    return std::string(buffer.data(), end.ptr) + " " + std::string(unit);
}

std::string format_length(double value, const OutputUnits& units) {
    constexpr int decimals_of_inch = 4;
    return units.inches() ? rounded_in(value, "in", decimals_of_inch) : with_unit(value, "mm");
}

std::string format_limit(double value, const OutputUnits& units, int digits) {
    return with_unit(value, units.in_place_of("mm"), digits);
}

std::string format_as(double value,
                      std::string_view metric_unit,
                      int decimals,
                      const OutputUnits& units) {
    return format_fixed(
        value, units.in_place_of(metric_unit), units.decimals(metric_unit, decimals));
}

std::string format_quantity(
    double value, Dimension dimension, PressureKind kind, const OutputUnits& units, int digits) {
    switch (dimension) {
        case Dimension::length:
            return in_both(value, "mm", units, digits);
        case Dimension::area:
            return in_both(value, "mm2", units, digits);
        case Dimension::volume:
            return in_both(value, value < 1e-3 ? "cc" : "L", units, digits);
        case Dimension::pressure:
            return with_unit(value, "kPa", digits) + (kind == PressureKind::absolute ? " abs" : "");
        case Dimension::intake_event:
        case Dimension::exhaust_event:
        case Dimension::firing_event:
            return event_text(value, dimension);
        case Dimension::ratio:
        case Dimension::none:
            return format_number(value);
        default:
            return with_unit(value, usual_unit(dimension));
    }
}

std::string_view name(Dimension dimension) {
    switch (dimension) {
        case Dimension::length:
            return "length";
        case Dimension::area:
            return "area";
        case Dimension::volume:
            return "volume";
        case Dimension::angle:
            return "angle";
        case Dimension::speed:
            return "speed";
        case Dimension::pressure:
            return "pressure";
        case Dimension::temperature:
            return "temperature";
        case Dimension::mass_flow:
            return "mass flow";
        case Dimension::volume_flow:
            return "volume flow";
        case Dimension::fuel_flow:
            return "fuel flow";
        case Dimension::time:
            return "time";
        case Dimension::frequency:
            return "frequency";
        case Dimension::ratio:
            return "ratio";
        case Dimension::none:
            return "a bare number";
        case Dimension::intake_event:
        case Dimension::exhaust_event:
        case Dimension::firing_event:
            return "crank angle";
        case Dimension::density:
            return "density";
        case Dimension::specific_energy:
            return "energy per mass";
        case Dimension::mass:
            return "mass";
    }
    return "";
}

std::string accepted_units(Dimension dimension) {
    std::string list;
    for (const auto& unit : units()) {
        if (unit.dimension == dimension) {
            list += (list.empty() ? "" : ", ") + std::string(unit.name);
        }
    }
    switch (dimension) {
        case Dimension::intake_event:
        case Dimension::exhaust_event:
            return "deg BTDC, deg ATDC, deg BBDC, deg ABDC, deg after firing TDC";
        case Dimension::firing_event:
            return "deg BTDC, deg ATDC, deg after firing TDC";
        default:
            return list;
    }
}

std::string_view usual_unit(Dimension dimension, const OutputUnits& shown) {
    if (dimension == Dimension::ratio || dimension == Dimension::none) {
        return "";
    }
    for (const auto& unit : units()) {
        if (unit.dimension == dimension) {
            return shown.in_place_of(unit.name);
        }
    }
    return "deg BTDC";
}

}  // namespace plenair::geometry

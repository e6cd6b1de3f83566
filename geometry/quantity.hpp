#pragma once

#include "geometry/output_units.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// Text with a unit to SI and back: the only place with conversion factors.
namespace plenair::geometry {

/// What a number measures. SI units inside: m, m2, m3, rad, rad/s, Pa, K, kg/s, m3/s, s, 1, kg/m3,
/// J/kg.
enum class Dimension {
    length,
    area,
    volume,
    angle,  ///< plain angle: deg or rad
    speed,  ///< of the crank: rpm or rad/s
    pressure,
    temperature,
    mass_flow,
    volume_flow,
    fuel_flow,  ///< injector rating [m3/s]; lb/h needs PressureContext::fuel_density
    time,
    frequency,
    ratio,  ///< bare number or %
    none,  ///< bare number
    intake_event,  ///< "28 deg BTDC", "64 deg ABDC": crank angle after firing TDC [rad]
    exhaust_event,  ///< "66 deg BBDC", "24 deg ATDC": crank angle after firing TDC [rad]
    firing_event,  ///< "20 deg BTDC" about firing TDC: negative before it [rad]
    density,
    specific_energy,
    mass
};

enum class PressureKind {
    absolute,  ///< states abs or g
    difference  ///< a depression or a loss: states neither
};

/// What the surroundings of an entry say.
struct PressureContext {
    PressureKind kind = PressureKind::absolute;
    std::optional<double> barometer;  ///< [Pa], needed by gauge pressures
    std::optional<double> fuel_density;  ///< [kg/m3], needed by fuel flows in lb/h
    OutputUnits units = {};  ///< in which remedies suggest to write a number
};

/// Either a value, or what is wrong and how to mend it: "no unit" and "write \"6 mm\"".
struct ParseOutcome {
    std::optional<double> value;  ///< SI
    std::string problem;
    std::string remedy;
};

struct ListOutcome {
    std::optional<std::vector<double>> values;  ///< SI
    std::string problem;
    std::string remedy;
};

/// Text such as "6.0 mm", "250 kPa abs", "5 %" to SI.
/// Refuses empty text, a missing or foreign unit, a decimal comma, NaN, infinity and overflow.
/// Valve events follow the four-stroke cycle, TDC of gas exchange at 2 pi: BTDC and ATDC count from
/// it; BDC is pi for the exhaust BBDC and ABDC, 3 pi for the intake; "616 deg after firing TDC" is
/// taken as it is. Factors: NIST SP 811 (2008),
/// appendix B.8: psi, inHg and inH2O conventional, mmHg, inch, pound.
[[nodiscard]] ParseOutcome parse_quantity(std::string_view text,
                                          Dimension dimension,
                                          const PressureContext& context = {});

/// A list with one unit at its end: "0, 400 mm". A comma is followed by a space, so that a decimal
/// comma shows. A single number is a list of one.
[[nodiscard]] ListOutcome parse_list(std::string_view text,
                                     Dimension dimension,
                                     const PressureContext& context = {});

/// SI value as text in the usual unit, of lengths, areas and volumes with that of the other system
/// of units in brackets: "6 mm (0.2362 in)", "0.3 in (7.62 mm)", "250 kPa abs", "28 deg BTDC".
/// Shows 6 digits of millimetres, 4 decimals of inches, 4 digits in brackets, of mm up to 3
/// decimals.
/// @param digits  of the first number, where its entry has fewer
[[nodiscard]] std::string format_quantity(double value,
                                          Dimension dimension,
                                          PressureKind kind = PressureKind::absolute,
                                          const OutputUnits& units = {},
                                          int digits = 6);

/// A length for messages, with its unit and no more decimals than it needs: "400 mm", "17.8 in".
[[nodiscard]] std::string format_length(double value, const OutputUnits& units);

/// A small length such as a limit, with `digits` significant digits and its unit: "0.05 mm",
/// "0.002 in".
[[nodiscard]] std::string format_limit(double value, const OutputUnits& units, int digits = 3);

/// A value in the unit that stands in place of a metric one, with as many decimals as say what
/// `decimals` say in that: "420.0 mm", "16.535 in"; "8107 mm2", "12.57 in2".
[[nodiscard]] std::string format_as(double value,
                                    std::string_view metric_unit,
                                    int decimals,
                                    const OutputUnits& units);

/// SI value in a named unit, without the unit, shown with `digits` significant digits.
/// @throws std::invalid_argument for an unknown unit
[[nodiscard]] std::string format_in(double value, std::string_view unit, int digits = 6);

/// A bare number with `digits` significant digits, point as decimal sign whatever the locale.
[[nodiscard]] std::string format_number(double value, int digits = 6);

/// SI value in a named unit with a fixed number of decimals and the unit: "420.0 mm".
/// @throws std::invalid_argument for an unknown unit
[[nodiscard]] std::string format_fixed(double value, std::string_view unit, int decimals = 1);

/// SI value to a named unit ("mm", "cc", "kPa", "rpm", "CFM", "degC", "lb/min").
/// @throws std::invalid_argument for an unknown unit
[[nodiscard]] double to_unit(double value, std::string_view unit);

/// Named unit to SI. @throws std::invalid_argument for an unknown unit
[[nodiscard]] double from_unit(double value, std::string_view unit);

/// Name of a dimension for messages: "length", "pressure". The article is the caller's.
[[nodiscard]] std::string_view name(Dimension dimension);

/// Units accepted, as a list for messages and documentation: "mm, cm, m, in, um".
[[nodiscard]] std::string accepted_units(Dimension dimension);

/// The unit a remedy suggests: "mm" for a length, "in" in a case in inches; empty where none
/// belongs.
[[nodiscard]] std::string_view usual_unit(Dimension dimension, const OutputUnits& units = {});

}  // namespace plenair::geometry

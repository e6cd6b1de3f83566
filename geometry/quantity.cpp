#include "geometry/quantity.hpp"
#include "geometry/look_alikes.hpp"
#include "geometry/nearest_word.hpp"
#include "geometry/unit.hpp"
#include "geometry/unit_spellings.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <system_error>
#include <utility>

namespace plenair::geometry {

namespace {

using std::numbers::pi;
using Text = std::string_view;

/// What is wrong and how to mend it.
struct Fault {
    std::string problem;
    std::string remedy;
};

bool is_event(Dimension dimension) {
    return dimension == Dimension::intake_event || dimension == Dimension::exhaust_event ||
           dimension == Dimension::firing_event;
}

std::string quoted(Text text) {
    return '"' + std::string(text) + '"';
}

Text trimmed(Text text) {
    constexpr Text blank = " \t\r\n";
    const auto first = text.find_first_not_of(blank);
    if (first == Text::npos) {
        return {};
    }
    return text.substr(first, text.find_last_not_of(blank) - first + 1);
}

/// The outcome of a text that has look-alikes: with what is meant in their place it may be wrong
/// for another reason, which comes first.
/// @param outcome  of the text with what is meant
template <class Outcome>
Outcome refused_look_alikes(Outcome outcome, Text meant) {
    return !outcome.problem.empty() ? outcome
                                    : Outcome{std::nullopt,
                                              "a blank or sign in it only looks like the usual one",
                                              "write " + quoted(trimmed(meant))};
}

/// First word and the rest.
std::pair<Text, Text> split_word(Text text) {
    const auto end = std::min(text.find_first_of(" \t"), text.size());
    return {text.substr(0, end), trimmed(text.substr(end))};
}

std::string lower(Text text) {
    std::string result(text);
    std::transform(result.begin(), result.end(), result.begin(), [](unsigned char c) {
        return static_cast<char>(std::tolower(c));
    });
    return result;
}

/// A number at the start of `text`, and what follows it.
struct Number {
    double value = 0;
    Text rest;
};

/// A number beyond all that a double holds, on one side or the other.
Fault out_of_range(Text digits) {
    const auto number = digits.substr(0, digits.find_first_not_of("+-.0123456789eE"));
    const auto exponent = number.find_first_of("eE");
    const bool small = exponent == Text::npos ? number.find_first_of("123456789") > number.find('.')
                                              : number.substr(exponent + 1).starts_with('-');
    return {small ? "the number is too small to hold" : "the number is too large to hold",
            "check the number"};
}

std::optional<Fault> read_number(Text text, Number& number) {
    if (text.empty()) {
        return Fault{"empty", "write a number with its unit"};
    }
    const Text digits = text.front() == '+' ? text.substr(1) : text;
    const auto end = std::from_chars(digits.data(), digits.data() + digits.size(), number.value);
    if (end.ec == std::errc::result_out_of_range) {
        return out_of_range(digits);
    }
    if (end.ec != std::errc{}) {
        return Fault{quoted(text) + " does not start with a number",
                     "write a number with its unit"};
    }
    if (!std::isfinite(number.value)) {
        return Fault{"not a finite number", "write a number"};
    }
    number.rest = digits.substr(static_cast<std::size_t>(end.ptr - digits.data()));
    return std::nullopt;
}

/// "BTDC" in whatever case; empty where it is no dead centre.
Text dead_centre(Text word) {
    for (const Text centre : {"BTDC", "ATDC", "BBDC", "ABDC"}) {
        if (lower(word) == lower(centre)) {
            return centre;
        }
    }
    return {};
}

/// "5 BTDC", "5 BTDC deg", "5 degrees btdc", "5 degBTDC": the event as it should stand. Which dead
/// centre is meant only the writer knows.
Fault event_unit(Text unit_text, Text number) {
    const auto [word, rest] = split_word(unit_text);
    Text centre;
    for (const Text known : {"BTDC", "ATDC", "BBDC", "ABDC"}) {
        if (lower(unit_text).find(lower(known)) != std::string::npos) {
            centre = known;
        }
    }
    const bool unit_missing = !dead_centre(word).empty();
    const std::string problem = unit_text.empty() ? "no unit and no dead centre"
                                : unit_missing && rest.empty()
                                    ? "no unit of angle"
                                    : quoted(unit_missing ? unit_text : word) + " is not a unit";
    const std::string angle = std::string(number) + " deg";
    return {problem,
            centre.empty() ? "write " + angle + " and behind it BTDC, ATDC, BBDC or ABDC"
                           : "write " + quoted(angle + " " + std::string(centre))};
}

Fault missing_unit(Dimension dimension, const PressureContext& context, Text number) {
    if (is_event(dimension)) {
        return event_unit({}, number);
    }
    const bool absolute =
        dimension == Dimension::pressure && context.kind == PressureKind::absolute;
    return {"no unit",
            "write " + quoted(std::string(number) + " " +
                              std::string(usual_unit(dimension, context.units)) +
                              (absolute ? " abs" : ""))};
}

/// Of a number in a unit that plenair does not read, and that means one that it does.
Fault spelt_otherwise(
    Text spelling, Dimension dimension, const MeantUnit& meant, Text number, double value) {
    const std::string problem =
        quoted(spelling) + " is not a unit of " + std::string(name(dimension));
    const std::string unit(meant.unit);
    if (meant.factor == 1) {
        return {problem, "write " + quoted(unit)};
    }
    return {problem,
            number.find(',') == Text::npos
                ? "write " + quoted(format_number(value * meant.factor) + " " + unit)
                : "use " + unit + ", of which it is " + format_number(meant.factor)};
}

/// @param text  all that follows the number, of which `unit` is the first word
Fault foreign_unit(Text text, Text unit, Dimension dimension, Text number, double value) {
    const std::string accepted = accepted_units(dimension);
    const std::string use = accepted.empty() ? "write the bare number" : "use " + accepted;
    for (const Text spelling : {text, unit}) {
        if (const auto meant = meant_unit(spelling, dimension)) {
            return spelt_otherwise(spelling, dimension, *meant, number, value);
        }
    }
    for (const auto& known : units()) {
        if (known.dimension == dimension && lower(known.name) == lower(unit)) {
            return {quoted(unit) + " is not a unit", "write " + quoted(known.name)};
        }
    }
    if (dimension == Dimension::pressure && unit.size() > 1) {
        const Text stem = unit.substr(0, unit.size() - 1);
        if (find_unit(stem, dimension) != nullptr && (unit.back() == 'g' || unit.back() == 'a')) {
            return {quoted(unit) + " is not a unit",
                    "write " + quoted(std::string(stem) + (unit.back() == 'g' ? " g" : " abs"))};
        }
    }
    if (const auto* other = find_unit(unit); other != nullptr) {
        return {quoted(unit) + " measures " + std::string(name(other->dimension)) + ", not " +
                    std::string(name(dimension)),
                use};
    }
    std::vector<std::string> names;
    for (const auto& known : units()) {
        // Units are so short that most are near to any: the first letter must be right.
        if (known.dimension == dimension &&
            lower(known.name.substr(0, 1)) == lower(unit.substr(0, 1))) {
            names.emplace_back(known.name);
        }
    }
    const std::string near = nearest_word(unit, names);
    if (near.empty()) {
        const auto word = nearest_word(lower(unit), long_spellings(dimension));
        if (const auto meant = meant_unit(word, dimension)) {
            return spelt_otherwise(unit, dimension, *meant, number, value);
        }
    }
    return {quoted(unit) + " is not a unit of " + std::string(name(dimension)),
            near.empty() ? use : "write " + quoted(near)};
}

/// Reference of a pressure: "abs", "g" or nothing. Adds the barometer to a gauge pressure.
std::optional<Fault> settle_pressure(Text unit,
                                     Text reference,
                                     const PressureContext& context,
                                     double& value) {
    const std::string stated(unit);
    if (context.kind == PressureKind::difference) {
        if (!reference.empty()) {
            return Fault{"a pressure difference is neither abs nor g",
                         "leave out " + quoted(reference)};
        }
        return std::nullopt;
    }
    if (reference.empty()) {
        return Fault{"neither gauge nor absolute", "state " + stated + " g or " + stated + " abs"};
    }
    if (reference == "g") {
        if (!context.barometer) {
            return Fault{"gauge pressure without a barometer",
                         "state site.barometer or write the pressure in " + stated + " abs"};
        }
        value += *context.barometer;
    } else if (reference != "abs") {
        const Text meant = meant_reference(reference);
        return Fault{quoted(reference) + " is neither g nor abs",
                     meant.empty() ? "state " + stated + " g or " + stated + " abs"
                                   : "write " + quoted(meant)};
    }
    if (value < 0) {
        return Fault{"below vacuum", "check the number and its reference"};
    }
    return std::nullopt;
}

/// Crank angle after firing TDC of an angle counted from a dead centre.
std::optional<Fault> settle_event(Text centre, Dimension dimension, double& value) {
    const bool firing = dimension == Dimension::firing_event;
    if (centre.empty() && firing) {
        return std::nullopt;
    }
    if (centre == "after firing TDC") {
        return std::nullopt;  // As results print it: what it becomes inside.
    }
    const double top = firing ? 0 : 2 * pi;
    const double bottom = dimension == Dimension::exhaust_event ? pi : 3 * pi;
    if (centre == "BTDC") {
        value = top - value;
    } else if (centre == "ATDC") {
        value = top + value;
    } else if (centre == "BBDC" && !firing) {
        value = bottom - value;
    } else if (centre == "ABDC" && !firing) {
        value = bottom + value;
    } else {
        const std::string choice = firing ? "BTDC or ATDC" : "BTDC, ATDC, BBDC or ABDC";
        const Text meant = dead_centre(centre);
        const bool known = !meant.empty() && meant != centre && !(firing && meant[1] == 'B');
        return Fault{
            centre.empty() ? "no dead centre" : quoted(centre) + " is not a dead centre here",
            known ? "write " + quoted(meant) : "state " + choice};
    }
    return std::nullopt;
}

/// Applies the unit text that follows the number `shown`.
std::optional<Fault> apply_unit(Text unit_text,
                                Dimension dimension,
                                const PressureContext& context,
                                Text shown,
                                double& value) {
    const bool bare = dimension == Dimension::ratio || dimension == Dimension::none;
    if (unit_text.empty()) {
        return bare ? std::nullopt : std::optional(missing_unit(dimension, context, shown));
    }
    const auto [word, rest] = split_word(unit_text);
    const auto* unit = find_unit(word, is_event(dimension) ? Dimension::angle : dimension);
    if (unit == nullptr) {
        return is_event(dimension) ? event_unit(unit_text, shown)
                                   : foreign_unit(unit_text, word, dimension, shown, value);
    }
    value = value * unit->factor + unit->offset;
    if (unit->name == "lb/h") {
        if (!context.fuel_density) {
            return Fault{"lb/h is a mass flow", "write cc/min or state the density of the fluid"};
        }
        value /= *context.fuel_density;
    }
    if (is_event(dimension)) {
        return settle_event(rest, dimension, value);
    }
    if (dimension == Dimension::pressure) {
        return settle_pressure(word, rest, context, value);
    }
    if (!rest.empty()) {
        return Fault{quoted(rest) + " follows the unit", "leave it out"};
    }
    if (dimension == Dimension::temperature && value < 0) {
        return Fault{"below absolute zero", "check the number and its unit"};
    }
    return std::nullopt;
}

std::optional<Fault> too_large(double value) {
    if (std::isfinite(value)) {
        return std::nullopt;
    }
    return Fault{"the number is too large to hold", "check the number and its unit"};
}

/// A comma where one number is expected: decimal comma, thousands, or a list.
Fault comma_fault(Text text) {
    const auto comma = text.find(',');
    const Text after = text.substr(comma + 1);
    if (std::count(text.begin(), text.end(), ',') > 1 || after.empty() ||
        std::isdigit(static_cast<unsigned char>(after.front())) == 0) {
        return {"a list where one number is expected", "write one number with its unit"};
    }
    std::string point(text);
    point[comma] = '.';
    std::size_t digits = 0;
    while (digits < after.size() && std::isdigit(static_cast<unsigned char>(after[digits])) != 0) {
        ++digits;
    }
    std::string remedy = "write " + quoted(point);
    if (digits == 3) {
        remedy += " or " + quoted(std::string(text.substr(0, comma)) + std::string(after));
    }
    return {"decimal comma", remedy};
}

/// "8 900 rpm" and "8'900 rpm": digits in groups of three; "5-6 mm", "5..6 mm" and "6 +/- 0.1 mm":
/// more than one number. Nothing for other text. @param rest  what follows the first digits
std::optional<Fault> group_fault(Text text, Text rest) {
    const auto digit = [](char c) { return c >= '0' && c <= '9'; };
    const Text before = text.substr(0, text.size() - rest.size());
    const bool whole = std::all_of(before.begin(), before.end(), digit);
    const auto is_group = [&](Text group) {
        return group.size() > 3 && (group[0] == ' ' || group[0] == '\'' || group[0] == '_') &&
               std::all_of(group.begin() + 1, group.begin() + 4, digit) &&
               (group.size() == 4 || !digit(group[4]));
    };
    if (whole && is_group(rest)) {
        std::string joined(before);
        for (; is_group(rest); rest.remove_prefix(4)) {
            joined += rest.substr(1, 3);
        }
        return Fault{"digits in groups", "write " + quoted(joined + std::string(rest))};
    }
    const Text more = trimmed(rest);
    for (const Text sign : {"+/-", "\u00b1", "..", ".", "-", "+"}) {
        if (more.starts_with(sign) && !trimmed(more.substr(sign.size())).empty() &&
            digit(trimmed(more.substr(sign.size())).front())) {
            return Fault{"more than one number", "write one number with its unit"};
        }
    }
    return std::nullopt;
}

constexpr Text a_fraction = "a fraction";

/// "1/4 in" and "1 1/2 in", as rules and drill sizes have it; nothing for other text.
std::optional<Fault> fraction_fault(Text text) {
    const auto slash = text.find('/');
    Number first, above, below;
    if (slash == Text::npos || read_number(text, first) ||
        read_number(text.substr(slash + 1), below)) {
        return std::nullopt;
    }
    const bool mixed = !first.rest.starts_with('/');
    if (mixed && (read_number(trimmed(first.rest), above) || !above.rest.starts_with('/'))) {
        return std::nullopt;
    }
    const double value =
        mixed ? first.value + above.value / below.value : first.value / below.value;
    Number third;
    const auto next = below.rest.find('/');
    const bool list = next != Text::npos && !read_number(below.rest.substr(next + 1), third);
    if (list || !std::isfinite(value)) {
        return std::nullopt;
    }
    return Fault{std::string(a_fraction),
                 "write " + quoted(format_number(value) + std::string(below.rest))};
}

/// "61; 165; 269 mm", "61/165/269 mm" and "61 165 269 mm" with commas; nothing for other text. Two
/// numbers with a blank between them may be one in groups.
std::optional<std::string> with_commas(Text text) {
    std::string list;
    std::size_t numbers = 0;
    bool parted = false;
    Number number;
    while (!read_number(text, number)) {
        list += numbers++ == 0 ? "" : ", ";
        list += trimmed(text.substr(0, text.size() - number.rest.size()));
        text = trimmed(number.rest);
        if (!text.empty() && Text(";/|").find(text.front()) != Text::npos) {
            parted = true;
            text = trimmed(text.substr(1));
        }
    }
    if (numbers < (parted ? 2 : 3)) {
        return std::nullopt;
    }
    return list + (text.empty() ? "" : " ") + std::string(text);
}

/// "61 mm, 165 mm, 269 mm" with its unit at the end alone.
/// @param unit  what follows the first number
std::string with_one_unit(Text text, Text unit) {
    const std::string own(trimmed(unit.substr(0, unit.find(','))));
    std::string list(text);
    for (auto at = list.find(own + ","); at != std::string::npos; at = list.find(own + ",", at)) {
        list.erase(at, own.size());
        while (at > 0 && list[at - 1] == ' ') {
            list.erase(--at, 1);
        }
    }
    return list;
}

}  // namespace

ParseOutcome parse_quantity(Text text, Dimension dimension, const PressureContext& context) {
    if (const auto meant = plain_signs(text)) {
        return refused_look_alikes(parse_quantity(*meant, dimension, context), *meant);
    }
    const Text clean = trimmed(text);
    Number number;
    auto fault = read_number(clean, number);
    if (!fault && number.rest.starts_with(',')) {
        fault = comma_fault(clean);
    }
    if (!fault) {
        fault = fraction_fault(clean);
    }
    if (!fault) {
        fault = group_fault(clean, number.rest);
    }
    if (!fault) {
        const Text shown = clean.substr(0, clean.size() - number.rest.size());
        fault = apply_unit(trimmed(number.rest), dimension, context, trimmed(shown), number.value);
    }
    if (!fault) {
        fault = too_large(number.value);
    }
    return fault ? ParseOutcome{std::nullopt, fault->problem, fault->remedy}
                 : ParseOutcome{number.value, {}, {}};
}

ListOutcome parse_list(Text text, Dimension dimension, const PressureContext& context) {
    const auto refuse = [](const Fault& fault) {
        return ListOutcome{std::nullopt, fault.problem, fault.remedy};
    };
    if (const auto meant = plain_signs(text)) {
        return refused_look_alikes(parse_list(*meant, dimension, context), *meant);
    }
    std::vector<double> values;
    Text left = trimmed(text);
    const Text all = left;
    if (all.find(',') == Text::npos) {
        auto one = parse_quantity(all, dimension, context);
        if (one.value) {
            return {{{*one.value}}, {}, {}};
        }
        const auto meant = one.problem == a_fraction ? std::nullopt : with_commas(all);
        return meant && parse_list(*meant, dimension, context).values
                   ? refuse({"numbers of a list are parted by commas", "write " + quoted(*meant)})
                   : ListOutcome{std::nullopt, one.problem, one.remedy};
    }
    Number number;
    while (true) {
        if (auto fault = read_number(left, number)) {
            return refuse(*fault);
        }
        values.push_back(number.value);
        const Text rest = trimmed(number.rest);
        if (!rest.starts_with(',')) {
            break;
        }
        left = trimmed(rest.substr(1));
        if (left.empty()) {
            return refuse({"the list ends with a comma", "leave it out or add a number"});
        }
        if (rest.size() > 1 && rest[1] != ' ' && rest[1] != '\t') {
            return refuse({"a comma without a space reads two ways",
                           "put a comma and a blank between numbers, and a decimal point in them"});
        }
    }
    const Text unit = trimmed(number.rest);
    if (unit.find(',') != Text::npos) {
        const auto meant = with_one_unit(all, unit);
        const bool good = meant != all && parse_list(meant, dimension, context).values.has_value();
        return refuse({"the unit stands in the middle of the list",
                       good ? "write " + quoted(meant) : "write one unit, at the end"});
    }
    const Text shown = trimmed(all.substr(0, all.size() - number.rest.size()));
    for (double& value : values) {
        if (auto fault = apply_unit(unit, dimension, context, shown, value)) {
            return refuse(*fault);
        }
        if (auto fault = too_large(value)) {
            return refuse(*fault);
        }
    }
    return {values, {}, {}};
}

}  // namespace plenair::geometry

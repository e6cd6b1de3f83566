#include "cases/live/controls.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/file/read.hpp"
#include "geometry/error.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"

namespace plenair {

namespace {

using geometry::to_unit;

/// How far and how finely a number may be moved.
struct Reach {
    double low = 0.5, high = 2;  ///< ends over the value in the case
    double step = 0;  ///< in the unit of the entry
    double least_high = 0;  ///< the upper end is at least here, for values that may be zero
};

/// Units of an entry and its step in a case of either system of units: 0.1 mm is moved as 0.005 in.
struct Scale {
    std::string unit;
    double step = 0;
    double least_high = 0;
};

Scale scale_of(
    const Case& c, const std::string& metric, double step, double inch_step, double most = 0) {
    const std::string unit(c.units.in_place_of(metric));
    const bool inches = unit != metric;
    return {unit,
            inches ? inch_step : step,
            most > 0 ? to_unit(geometry::from_unit(most, metric), unit) : 0};
}

std::string with(std::string text, std::size_t place, const std::string& number) {
    const std::string mark = fmt::format("{{{}}}", place);
    const auto at = text.find(mark);
    return at == std::string::npos ? text : text.replace(at, mark.size(), number);
}

std::string set_text(const LiveEntry& entry, std::size_t moved, double to) {
    bool equal = true;
    std::vector<double> values;
    for (std::size_t i = 0; i < entry.numbers.size(); ++i) {
        values.push_back(i == moved ? to : entry.numbers[i].value);
        equal = equal && values[i] == values[0];
    }
    std::string text = equal || entry.several.empty() ? entry.one : entry.several;
    for (std::size_t i = 0; i < values.size(); ++i) {
        text = with(text, i, fmt::format("{:.12g}", values[i]));
    }
    return entry.key + "=" + text;
}

/// Whether the case file's checks take the entry with one number moved.
bool taken(const Case& c, const LiveEntry& entry, std::size_t moved, double to) {
    try {
        (void)parse_case(c.text, c.path, {set_text(entry, moved, to)});
        return true;
    } catch (const InputError&) {
        return false;
    }
}

/// Whether the entry written as this program would write it is the case as it stands.
bool stands(const Case& c, const LiveEntry& entry) {
    try {
        const auto& first = entry.numbers.front();
        return parse_case(c.text, c.path, {set_text(entry, 0, first.value)}).digest == c.digest;
    } catch (const InputError&) {
        return false;
    }
}

/// Whole steps from the value towards `wanted` that the checks still take: all of them, or by
/// halving.
double last_taken(const Case& c, const LiveEntry& entry, std::size_t moved, double wanted) {
    const auto& number = entry.numbers[moved];
    const double way = wanted < number.value ? -1 : 1;
    const auto at = [&](int steps) { return number.value + way * steps * number.step; };
    int bad = static_cast<int>(std::floor(std::abs(wanted - number.value) / number.step + 1e-9));
    if (bad < 1 || taken(c, entry, moved, at(bad))) return at(std::max(bad, 0));
    int good = 0;
    while (bad - good > 1) {
        const int middle = (good + bad) / 2;
        (taken(c, entry, moved, at(middle)) ? good : bad) = middle;
    }
    return at(good);
}

int decimals_of(double step) {
    int decimals = 0;
    for (double rest = step; decimals < 3 && std::abs(rest - std::round(rest)) > 1e-9; rest *= 10) {
        ++decimals;
    }
    return decimals;
}

void add(std::vector<LiveEntry>& entries, const Case& c, LiveEntry entry, const Reach& reach) {
    for (auto& number : entry.numbers) {
        number.step = reach.step;
        number.decimals = decimals_of(reach.step);
    }
    if (!stands(c, entry)) return;
    for (std::size_t i = 0; i < entry.numbers.size(); ++i) {
        auto& number = entry.numbers[i];
        number.low = last_taken(c, entry, i, reach.low * number.value);
        number.high =
            last_taken(c, entry, i, std::max(reach.high * number.value, reach.least_high));
        if (!(number.high > number.low)) return;
    }
    entries.push_back(std::move(entry));
}

/// "0, 388 mm"
std::string ends_text(double length, const std::string& unit) {
    return fmt::format("0, {:.12g} {}", to_unit(length, unit), unit);
}

/// A property along a part as two ends; no numbers where it has other stations.
/// @param from, length  of the part along the profile's x [m]
void along(LiveEntry& entry,
           const geometry::Profile& profile,
           double from,
           double length,
           const std::string& label,
           bool split) {
    const auto value = [&](double x) { return to_unit(profile.at(x), entry.unit); };
    const auto& x = profile.x();
    const bool constant = x.size() == 1;
    const bool linear =
        x.size() == 2 && std::abs(x[0] - from) < 1e-9 && std::abs(x[1] - from - length) < 1e-9;
    entry.one = "{0} " + entry.unit;
    if (constant && !split) {
        entry.numbers.push_back({.label = label, .value = value(from)});
    } else if (constant || linear) {
        entry.numbers.push_back({.label = label + ", at x = 0", .value = value(from)});
        entry.numbers.push_back({.label = label + ", far end", .value = value(from + length)});
        entry.several = fmt::format("{{ x = \"{}\", value = \"{{0}}, {{1}} {}\" }}",
                                    ends_text(length, entry.unit.starts_with("in") ? "in" : "mm"),
                                    entry.unit);
    }
}

LiveEntry single(const std::string& key,
                 const std::string& unit,
                 const std::string& label,
                 double value) {
    LiveEntry entry;
    entry.key = key;
    entry.unit = unit;
    entry.one = "{0} " + unit;
    entry.numbers.push_back({.label = label, .value = to_unit(value, unit)});
    return entry;
}

/// Where the parts of a bank stand in the file, and what tells banks apart for a reader.
struct Room {
    std::string prefix;  ///< "", "bank.right."
    std::string behind;  ///< "", " of bank right"
};

void add_slot(std::vector<LiveEntry>& entries,
              const Case& c,
              const geometry::Slot& slot,
              const Room& room) {
    if (slot.pieces.size() == 1 && slot.holes.empty()) {
        const auto& piece = slot.pieces.front();
        const auto scale = scale_of(c, "mm", 0.1, 0.005);
        LiveEntry width;
        width.key = room.prefix + "slot.width";
        width.unit = scale.unit;
        along(width, piece.width, piece.x, piece.length, "Slot width" + room.behind, true);
        if (!width.numbers.empty()) add(entries, c, width, {.step = scale.step});
    }
    if (slot.cd) return;
    const auto radius = scale_of(c, "mm", 0.1, 0.005, 3);
    const auto land = scale_of(c, "mm", 0.5, 0.02);
    add(entries,
        c,
        single(room.prefix + "slot.edge_radius",
               radius.unit,
               "Edge radius" + room.behind,
               slot.edge_radius),
        {.low = 0, .step = radius.step, .least_high = radius.least_high});
    add(entries,
        c,
        single(room.prefix + "slot.land", land.unit, "Land" + room.behind, slot.land),
        {.low = 0.25, .step = land.step});
}

void add_chamber(std::vector<LiveEntry>& entries,
                 const Case& c,
                 const geometry::Chamber& chamber,
                 const std::string& part,
                 const std::string& label) {
    const auto section = scale_of(c, "mm2", 50, 0.1);
    const auto across = scale_of(c, "mm", 1, 0.05);
    LiveEntry area;
    area.key = part + ".area";
    area.unit = section.unit;
    along(area, chamber.area, 0, chamber.length, label + " section", false);
    const auto before = entries.size();
    if (!area.numbers.empty()) add(entries, c, area, {.step = section.step});
    if (entries.size() > before || chamber.area.x().size() != 1) return;
    const double bore = std::sqrt(4 * chamber.area.at(0) / std::acos(-1.0));
    add(entries,
        c,
        single(part + ".diameter", across.unit, label + " bore", bore),
        {.step = across.step});
}

void add_runners(std::vector<LiveEntry>& entries,
                 const Case& c,
                 const std::vector<geometry::Runner>& runners,
                 const Room& room) {
    if (runners.empty()) return;
    const auto own = [](const geometry::Runner& r) { return r.length - r.port_length; };
    const double length = own(runners.front());
    const bool equal = std::all_of(runners.begin(), runners.end(), [&](const auto& r) {
        return std::abs(own(r) - length) < 1e-9;
    });
    if (!equal) return;
    const auto scale = scale_of(c, "mm", 1, 0.05);
    add(entries,
        c,
        single(room.prefix + "runner.length", scale.unit, "Runner length" + room.behind, length),
        {.low = 0.6, .high = 1.6, .step = scale.step});
}

void add_throttles(std::vector<LiveEntry>& entries,
                   const Case& c,
                   const std::vector<geometry::Throttle>& throttles,
                   const Room& room) {
    for (std::size_t i = 0; i < throttles.size(); ++i) {
        const bool several = throttles.size() > 1;
        const std::string key = room.prefix + "throttle.";
        const auto scale = scale_of(c, "mm", 0.5, 0.02);
        const std::string label = "Throttle bore" + room.behind;
        add(entries,
            c,
            single(several ? fmt::format("{}{}.bore", key, i + 1) : key + "bore",
                   scale.unit,
                   several ? fmt::format("{} {}", label, i + 1) : label,
                   throttles[i].bore),
            {.low = 0.6, .high = 1.6, .step = scale.step});
    }
}

void add_bank(std::vector<LiveEntry>& entries,
              const Case& c,
              const geometry::Bank& bank,
              const Room& room) {
    if (bank.slot) add_slot(entries, c, *bank.slot, room);
    if (bank.pre_chamber) {
        add_chamber(entries,
                    c,
                    *bank.pre_chamber,
                    room.prefix + "pre_chamber",
                    "Pre-chamber" + room.behind);
    }
    if (bank.plenum) {
        add_chamber(entries, c, *bank.plenum, room.prefix + "plenum", "Plenum" + room.behind);
    }
    add_runners(entries, c, bank.runners, room);
    add_throttles(entries, c, bank.throttles, room);
}

void add_points(std::vector<LiveEntry>& entries, const Case& c) {
    // Points of curves have no entries of their own.
    const std::size_t loose = c.curves.empty() ? c.points.size() : c.curves.front().first;
    for (std::size_t i = 0; i < loose; ++i) {
        const auto& point = c.points[i];
        const auto at = [&](const std::string& name,
                            const std::string& entry,
                            const std::string& unit,
                            const std::string& label,
                            double value) {
            auto made = single(fmt::format("point.{}.{}", name, entry), unit, label, value);
            made.point = point.name;
            return made;
        };
        // A name with a dot cannot be written in a key; the point's number can.
        const bool dotted = point.name.find_first_of(".=") != std::string::npos;
        const std::string name = dotted ? std::to_string(i + 1) : point.name;
        add(entries,
            c,
            at(name, "speed", "rpm", "Speed", point.speed),
            {.low = 0.5, .high = 1.3, .step = 50});
        auto pressure = at(name, "pressure", "kPa", "Pressure before the throttle", point.pressure);
        pressure.one = "{0} kPa abs";
        add(entries, c, pressure, {.low = 0.6, .high = 1.4, .step = 1});
    }
}

}  // namespace

std::vector<LiveEntry> live_entries(const Case& c) {
    const auto& banks = c.intake.banks;
    std::vector<LiveEntry> entries;
    if (banks.size() > 1) {
        const std::string all = banks.size() == 2 ? " in both banks" : " in every bank";
        add_bank(entries, c, banks.front(), {"", all});
    }
    for (std::size_t i = 0; i < banks.size(); ++i) {
        Room room;
        if (banks.size() > 1) {
            room = {geometry::entry_prefix(c.intake, i),
                    " of " + geometry::bank_words(geometry::bank_name(c.intake, i))};
        }
        std::vector<LiveEntry> own;
        add_bank(own, c, banks[i], room);
        for (auto& entry : own) {
            const std::string rest = entry.key.substr(room.prefix.size());
            const bool together = std::any_of(
                entries.begin(), entries.end(), [&](const auto& e) { return e.key == rest; });
            if (!together) entries.push_back(std::move(entry));
        }
    }
    add_points(entries, c);
    return entries;
}

}  // namespace plenair

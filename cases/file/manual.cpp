#include "cases/file/key.hpp"
#include "cases/file/read.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

/// docs/case-file.md from the key table.
namespace plenair {
namespace {

using file::Key;
using file::Kind;

std::string_view section_of(std::string_view name) {
    const auto dot = name.rfind('.');
    return dot == std::string_view::npos ? std::string_view{} : name.substr(0, dot);
}

std::string kind_text(const Key& key) {
    switch (key.kind) {
        case Kind::text:
            return "text";
        case Kind::choice:
            return fmt::format("{}", fmt::join(file::split(key.choices, '|'), ", "));
        case Kind::choices:
            return fmt::format("list of {}", fmt::join(file::split(key.choices, '|'), ", "));
        case Kind::flag:
            return "on, off";
        case Kind::integer:
            return "whole number";
        case Kind::integers:
            return "list of whole numbers";
        case Kind::number:
            return "number";
        case Kind::numbers:
            return "number, or list per runner";
        case Kind::quantity:
            return std::string(geometry::name(key.dimension)) +
                   (key.difference ? " difference" : "") +
                   (key.choices.empty() ? "" : fmt::format(", or {}", key.choices));
        case Kind::quantities:
            return fmt::format("{}, one or a list", geometry::name(key.dimension));
        case Kind::profile:
            return fmt::format("{}, constant or along x", geometry::name(key.dimension));
        case Kind::taper:
            return fmt::format("{}, constant or along the runner", geometry::name(key.dimension));
        case Kind::table:
            return fmt::format("table of {}", fmt::join(file::split(key.choices, '|'), " and "));
        case Kind::list:
            return "list of tables";
    }
    return {};
}

std::string limits_text(const Key& key) {
    std::string text;
    for (const auto limit : {key.low, key.high}) {
        text += (text.empty() || limit.empty() ? "" : ", ") + std::string(limit);
    }
    if (!key.usual_low.empty()) {
        text += fmt::format(
            "{}usual {} to {}", text.empty() ? "" : "; ", key.usual_low, key.usual_high);
    }
    return text;
}

std::string row(const Key& key) {
    const std::string fallback =
        key.required ? "required"
                     : (key.fallback.empty() ? std::string{} : fmt::format("`{}`", key.fallback));
    return fmt::format("| `{}` | {} | {} | {} | `{}` | {} |\n",
                       key.name,
                       kind_text(key),
                       limits_text(key),
                       fallback,
                       key.example,
                       key.doc);
}

std::string table_of(std::string_view section) {
    std::string rows;
    for (const auto& key : file::keys()) {
        if (section_of(key.name) == section) {
            rows += row(key);
        }
    }
    return rows.empty() ? rows
                        : "| key | value | limits | default | example | meaning |\n"
                          "| --- | --- | --- | --- | --- | --- |\n" +
                              rows + "\n";
}

std::string units_table() {
    using geometry::Dimension;
    std::string rows = "| dimension | units |\n| --- | --- |\n";
    for (const auto dimension : {Dimension::length,
                                 Dimension::area,
                                 Dimension::angle,
                                 Dimension::intake_event,
                                 Dimension::speed,
                                 Dimension::pressure,
                                 Dimension::temperature,
                                 Dimension::fuel_flow,
                                 Dimension::time,
                                 Dimension::density,
                                 Dimension::specific_energy,
                                 Dimension::ratio}) {
        rows += fmt::format(
            "| {} | {} |\n", geometry::name(dimension), geometry::accepted_units(dimension));
    }
    return rows + "\n";
}

constexpr std::string_view kIntroduction = R"(# Case file

This page is made from the key table in `cases/file`; `plenair check --schema` prints the same as a JSON Schema for
editors that complete TOML.

A case is one TOML 1.0 file of at most 4 MB. Every value with a dimension is a string with its unit: `"6.0 mm"`,
`"0.2362 in"`, `"250 kPa abs"`. A list carries one unit at its end and a comma followed by a space between numbers:
`"54.5, 151.5 mm"`. The decimal sign is a point. Pressures say `abs` or `g` (gauge, with `site.barometer`); pressure
differences say neither. A number without the unit it needs is refused.

A property along x is `{ x = "0, 400 mm", value = "4100, 2100 mm2" }`: straight between stations, which must cover the
part. x is counted from the end wall beside cylinder 1, for slot widths from the start of the slot, for runner bores from
the mouth.

A rig needs no engine: whatever parts the file names are built, and `plenair bench` runs them. An engine needs
`[engine]`, both valves, `[plenum]`, `[runner]` and a `[throttle]`.

`--set key=value` overrides any entry: `--set "slot.width=5 mm"`, `--set "point.A4.speed=9000 rpm"` (a point or bank by
its name or number), `--set "throttle.2.bore=60 mm"`.

A message reads `file:line:column: key = value: rule; remedy`. All messages of a file come at once, in file order.
Entries that are legal but outside the usual band are warnings.

## Units

)";

}  // namespace

std::string case_file_manual() {
    std::string text(kIntroduction);
    text += units_table();
    text += "## Top of the file\n\n" + table_of("");
    for (const auto& section : file::section_docs()) {
        text += fmt::format("## {}\n\n{}\n\n", section.name, section.doc) + table_of(section.name);
    }
    text.pop_back();
    return text;
}

}  // namespace plenair

#include "cases/file/key.hpp"
#include "cases/file/measured.hpp"
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
        case Kind::over_speed:
            return fmt::format("{}{}, constant or over speed",
                               key.dimension == geometry::Dimension::none
                                   ? "number"
                                   : geometry::name(key.dimension),
                               key.choices.empty() ? "" : fmt::format(", or {}", key.choices));
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

/// A bar inside a cell of a table.
std::string cell(std::string_view text) {
    std::string escaped;
    for (const char c : text) {
        escaped += c == '|' ? std::string("\\|") : std::string(1, c);
    }
    return escaped;
}

std::string row(const Key& key) {
    const std::string fallback =
        key.of_engine  ? "required of an engine"
        : key.required ? "required"
                       : (key.fallback.empty() ? std::string{} : fmt::format("`{}`", key.fallback));
    return fmt::format("| `{}` | {} | {} | {} | `{}` | {} |\n",
                       key.name,
                       kind_text(key),
                       limits_text(key),
                       fallback,
                       cell(key.example),
                       key.doc);
}

std::string table_of(const file::KeyTable& table, std::string_view section) {
    std::string rows;
    for (const auto& key : table.keys()) {
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
                                 Dimension::frequency,
                                 Dimension::density,
                                 Dimension::specific_energy,
                                 Dimension::ratio}) {
        rows += fmt::format(
            "| {} | {} |\n", geometry::name(dimension), geometry::accepted_units(dimension));
    }
    return rows + "\n";
}

/// Every section with its keys.
std::string key_tables(const file::KeyTable& table) {
    std::string text = "## Top of the file\n\n" + table_of(table, "");
    for (const auto& section : table.sections()) {
        text += fmt::format("## {}\n\n{}\n\n", section.name, section.doc) +
                table_of(table, section.name);
    }
    text.pop_back();
    return text;
}

constexpr std::string_view measured_introduction = R"(# Measured file

This page is made from the key table in `cases/file`. A measured file says what gauges, flow bench and engine showed, for
one case: `plenair bench case.toml --measured measured.toml` compares the parts with their drawing, `plenair fit` learns
from all of it. `plenair fit case.toml --blank measured.toml` writes an empty one for the case, to print and fill in.

Rules and units are those of the [case file](case-file.md): TOML 1.0, every value with a dimension is a string with its
unit, pressures say `abs` or `g`. Uncertainties are half widths that hold the true value with 95 %; where none is stated
the usual one of the instrument is taken and printed.

Lists may come from CSV files beside the measured file, by the names of their columns: `"Engine speed | rpm"` is the
column `Engine speed`, in rpm. A logger's file as `[[log]]` needs no retyping: parts of it in which speed and pressure
stay within 1 % for `steady_time` are averaged, with their scatter, and belong to the point of the case within 3 % of
speed and 5 % of pressure. A file of any length is read row by row.

A reading of CFM needs the state of its air: temperature and barometer, or a density. Leakage is taken off. Flow and
depression become a discharge coefficient by the isentropic law on the area that is named beside it.

)";

constexpr std::string_view introduction = R"(# Case file

This page is made from the key table in `cases/file`; `plenair check --schema` prints the same as a JSON Schema for
editors that complete TOML.

A case is one TOML 1.0 file of at most 4 MB. Every value with a dimension is a string with its unit: `"6.0 mm"`,
`"0.2362 in"`, `"250 kPa abs"`. A list carries one unit at its end and a comma followed by a space between numbers:
`"54.5, 151.5 mm"`. The decimal sign is a point. Pressures say `abs` or `g` (gauge, with `site.barometer`); pressure
differences say neither. A number without the unit it needs is refused.

A property along x is `{ x = "0, 400 mm", value = "4100, 2100 mm2" }`: straight between stations, which must cover the
part. x is counted from the inside face of the end wall x = 0, for slot widths from the start of the slot, for runner bores from
the mouth.

A rig needs no engine: whatever parts the file names are built, and `plenair bench` runs them. An engine needs
`[engine]`, both valves, `[plenum]`, `[runner]` and a `[throttle]`.

`--set key=value` overrides any entry: `--set "slot.width=5 mm"`, `--set "point.A4.speed=9000 rpm"` (a point or bank by
its name or number), `--set "throttle.2.bore=60 mm"`. One value of a list is named by its number, as in
`--set "runner.length.4=180 mm"`; where one value stands for all, the others keep it. `--vary` and `[sweep]` name entries the
same way. In a case of several banks a part without its bank means that of every bank that has one, here and after `--vary`, in
`[sweep]` and in `[choose]`: `--set "slot.width=5 mm"` moves all slots together, `--set "bank.left.slot.width=5 mm"` one
of them.

Results, drawings and messages show lengths, areas and volumes in the unit that most of them are written in here, with the
other unit in brackets where metal is cut; `units` in `[case]` or `--units mm|inch` choose it. Air is shown in kPa, K and g/s.

A message reads `file:line:column: key = value: rule; remedy`. All messages of a file come at once, in file order.
Entries that are legal but outside the usual band are warnings.

)";

constexpr auto rigs = R"(## Rigs

A rig is a case without `[engine]`: a header, a slot insert, runners on a plenum. `plenair bench rig.toml` runs it,
`plenair bench rig.toml --json` gives every number with its unit in the name. A complete one, a header of 50 mm bore that
blows through a slot of 400 x 4 mm, against which the closed form of Acrivos, Babcock and Pigford (1959) stands:

```toml
format = 1

[source]                          # air at rest before the rig; total pressure and temperature
pressure = "101.325 kPa abs"
temperature = "293.15 K"
# gas_constant = 287.05           # J/kg K, another gas
# gamma = 1.4

[bench]
set_ups = ["slot"]                # slot: what the slot passes into the room; runners: each runner alone; all: together
depression = "200 Pa"             # room = source - depression; 1 Pa to 60 kPa

[pre_chamber]
length = "400 mm"
area = "1963.5 mm2"               # or diameter = "50 mm"; or { x = "0, 400 mm", value = "1963.5, 981.75 mm2" }
feed = "open"                     # the source at the open end x = 0; "open far" at the other; or a [throttle]

[slot]
x = "0 mm"
length = "400 mm"
width = "4 mm"                    # or { x = "0, 400 mm", value = "3, 5 mm" }; or pieces, or [slot.holes]
cd = 0.62                         # imposed; without it land and edge_radius

[model]
regain = 1.0                      # theta; 1 is Bernoulli
friction = "off"                  # "smooth", "3.2 um", "darcy 0.02"
jet = "off"
slot_compressibility = "off"      # cd as it stands
```

Runners that blow into the room, with all that follows the entry in one loss coefficient:

```toml
[bench]
set_ups = ["all"]
depression = "1 kPa"

[plenum]
length = "480 mm"
area = "1963.5 mm2"
feed = "open"

[runner]
x = "30, 90, 150, 210, 270, 330, 390, 450 mm"
length = "150 mm"
diameter = "25 mm"                # a quarter of the plenum's area
entry_loss = 0.40                 # K0, one for all or a list
exit_loss = 4                     # K of the rest, exit head included

[model]
regain = 1.05
crossflow_loss = 0.90             # phi
mouth_law = "lateral"             # "tee": Gardel
friction = "off"
```

A throttle jet into a chamber: leave `feed` out and give

```toml
[throttle]
bore = "25 mm"
shaft = "0 mm"
closed_angle = "0 deg"
cd = 1.0
cd_area = "open"                  # jet area = cd x open area
position = "start"                # "far" end wall, or "side" at x without axial momentum

[model]
jet = "on"
mixing_length = 3.5               # in step heights (chamber bore - jet bore)/2
```

A restrictor of racing rules, a throat with a diffuser behind it, is a throttle with its recovery (no jet leaves it):

```toml
[throttle]
bore = "20 mm"                    # of the throat
shaft = "0 mm"
cd = 0.98
cd_area = "bore"
recovery = 0.80                   # of p0 - p_throat; 7 deg of full angle to four times the area
```

Air that is drawn in through slot or runners and leaves at the open end of the header, and a header with an outlet:

```toml
[bench]
direction = "in"                  # the room has the source's pressure, the feed is `depression` below it

[pre_chamber]                     # or [plenum]
feed = "open"
# outlet_loss = 4                 # with direction "out": K of what follows at the end that is not fed
```

A head on the bench: port or runner with the valves held at lifts. An engine's case needs `bench.lifts` alone, or
`plenair bench case.toml --lifts "2, 4, 6, 8, 10 mm"`; a rig states the valve (its events are not needed):

```toml
[bench]
lifts = "2, 4, 6, 8, 10 mm"
head = "port"                     # "runner": with its own mouth; "intake": all that stands before it
depression = "28 inH2O"
blower = "draws"                  # "blows": from depression above the room's pressure

[runner]
x = "50 mm"
length = "250 mm"
port_length = "90 mm"
diameter = { start = "46 mm", end = "41 mm" }

[valve.intake]
count = 2
head = "33 mm"
seat_width = "1.4 mm"
throat = "29 mm"
stem = "5.5 mm"
cd = { lift_over_diameter = [0.05, 0.15, 0.30], cd = [0.67, 0.62, 0.44] }
```

| in a formula | key | note |
| --- | --- | --- |
| Cd As/A | `slot.cd`, `slot.width`, `slot.length`, `pre_chamber.area` | an imposed Cd changes with pressure nowhere |
| theta | `model.regain` | 2 - theta is the share of the velocity that leaving air takes along |
| phi, K0 | `model.crossflow_loss`, `runner.entry_loss` | theta <= 1 + phi/2, else the case is refused |
| K of the rest | `runner.exit_loss` | 1 is the exit head alone; K stands for an opening of bore area/sqrt(K), which chokes as one |
| f L/D | `model.friction = "darcy <f>"` | D = 4 area/perimeter; without `perimeter` that of the circle of equal area |
| bend K | `runner.bend_loss` | on the runner's own velocity head, along its length |
| A_d/A_j | `throttle.bore`, `throttle.cd` | with `shaft = "0 mm"` the open area is the bore |
| Lm | `model.mixing_length` | step heights |
| dp | `bench.depression` | below 4 % of the source pressure nearly without change of density |
| cells | `model.cells = "largest cell 4 mm"` | without it 100 in a header without runners, else half a mouth bore |

Out of `--json` come for each set-up `flow_kg_s`, `cd`, `flow_per_runner_kg_s`, `bias_per_runner_percent`, along the slot
`x_m` and `flow_per_length_kg_s_m` with `start_over_mean`, `far_over_mean` and `spread_percent`, `hole_flow_kg_s`, and
along the header `pressure_x_m` and `static_pressure_pa`; with an outlet `outlet_flow_kg_s`, of a head `valve` with its
coefficients on curtain, seat and head. A rig has one source and one room; runners may blow into
rooms of their own pressure (`runner.exit_pressure`). Where a header is so narrow for its slot that an end draws air in, a note says so.

)";

}  // namespace

std::string case_file_manual() {
    std::string text(introduction);
    text += rigs;
    text += "## Units\n\n" + units_table();
    return text + key_tables(file::case_table());
}

std::string measured_file_manual() {
    return std::string(measured_introduction) + key_tables(file::measured_table());
}

}  // namespace plenair

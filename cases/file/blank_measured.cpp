#include "cases/file/measured.hpp"
#include "cases/file/slot_shop.hpp"
#include "cases/study/machining.hpp"
#include "geometry/error.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

/// An empty measured file of a case, to print and fill in.
namespace plenair {
namespace {

std::string line_of(const std::string& key, const std::string& value, const std::string& remark) {
    return fmt::format("# {} = {}{}\n", key, value, remark.empty() ? "" : "   # " + remark);
}

/// In which an inch shop reads its instruments, and a metric one; any unit may be written instead.
struct Instruments {
    explicit Instruments(const geometry::OutputUnits& units)
        : length(units.in_place_of("mm")), inches(units.inches()) {}
    std::string length;
    bool inches;
    const char* temperature = inches ? "degF" : "degC";
    const char* barometer = inches ? "inHg abs" : "kPa abs";
    const char* tap = inches ? "inH2O" : "Pa";
    const char* pressure = inches ? "psi abs" : "kPa abs";
    const char* air = inches ? "lb/min" : "g/s";

    /// "\"____ degC\""
    [[nodiscard]] static std::string blank(const std::string& unit) {
        return "\"____ " + unit + "\"";
    }
};

/// "____, ____, ____"
std::string blanks(std::size_t count) {
    return fmt::format("{}", fmt::join(std::vector<std::string>(count, "____"), ", "));
}

/// Line that names a bank; empty where there is one.
std::string bank_line(const std::string& bank) {
    return bank.empty() ? "" : line_of("bank", "\"" + bank + "\"", "");
}

/// Stations of the machining sheet of a bank, in the unit of the case; empty where there is no
/// sheet of its slot.
std::vector<std::string> gauge_stations(const Case& c, const std::string& bank) {
    std::vector<std::string> stations;
    try {
        for (const auto& sheet : machining_sheets(c, slot_shops(c))) {
            for (const auto& station : sheet.stations) {
                if (sheet.bank == bank) {
                    const std::string x = geometry::format_as(station.x, "mm", 1, c.units);
                    stations.push_back(x.substr(0, x.find(' ')));
                }
            }
        }
    } catch (const InputError&) {
        stations.clear();
    }
    return stations;
}

std::string gauges(const Case& c) {
    std::string text;
    const std::string unit = Instruments(c.units).length, blank = Instruments::blank(unit);
    const auto gauge = [&](const std::string& bank, const char* entry, const char* remark) {
        text += fmt::format("{}# [[gauge]]\n{}{}",
                            text.empty() ? "" : "\n",
                            bank_line(bank),
                            line_of("entry", fmt::format("\"{}\"", entry), remark));
    };
    for (std::size_t b = 0; b < c.intake.banks.size(); ++b) {
        const auto& slot = c.intake.banks[b].slot;
        if (!slot) {
            continue;
        }
        const auto bank = geometry::bank_name(c.intake, b);
        const auto stations = gauge_stations(c, bank);
        gauge(bank, "slot.width", "as on the machining sheet");
        if (!stations.empty()) {
            text += line_of("x", fmt::format("\"{} {}\"", fmt::join(stations, ", "), unit), "");
        }
        text += line_of("value",
                        fmt::format(
                            "\"{} {}\"", blanks(std::max<std::size_t>(stations.size(), 1)), unit),
                        "") +
                line_of("instrument", "\"pin gauge\"", "");
        if (slot->cd) {
            continue;
        }
        gauge(bank, "slot.edge_radius", "");
        text += line_of("value", blank, "") + line_of("instrument", "\"radius gauge\"", "");
        gauge(bank, "slot.land", "");
        text += line_of("value", blank, "") + line_of("instrument", "\"micrometer\"", "");
    }
    return text;
}

/// @param along  lines of what is read along the slot
std::string bench_reading(const Instruments& read,
                          const std::string& bank,
                          const char* set_up,
                          const std::string& runner,
                          const std::string& along = "") {
    return "\n# [[bench]]\n" + bank_line(bank) +
           line_of("set_up", fmt::format("\"{}\"", set_up), "") +
           (runner.empty() ? "" : line_of("runner", runner, "alone, the others closed")) +
           line_of("depression", "\"____ inH2O\"", "") +
           line_of("flow", "\"____ CFM\"", fmt::format("or {}", read.air)) +
           line_of("leakage", "\"____ %\"", "of the flow, part blocked") +
           line_of("temperature", Instruments::blank(read.temperature), "of the room") +
           line_of("barometer",
                   Instruments::blank(read.barometer),
                   "of the room, not reduced to sea level") +
           line_of("uncertainty", "\"1.5 %\"", "95 %") + along;
}

std::string bench_readings(const Case& c) {
    std::string text;
    const Instruments read(c.units);
    for (std::size_t b = 0; b < c.intake.banks.size(); ++b) {
        const auto& bank = c.intake.banks[b];
        const auto name = geometry::bank_name(c.intake, b);
        if (bank.slot) {
            text += bench_reading(
                read,
                name,
                "slot",
                "",
                line_of("stations",
                        "\"____, ____, ____ " + read.length + "\"",
                        "along the slot, where a probe stood") +
                    line_of("station_flows", "[____, ____, ____]", "any one unit") +
                    line_of("taps", "\"____, ____ " + read.length + "\"", "along the header") +
                    line_of("tap_pressures",
                            fmt::format("\"____, ____ {}\"", read.tap),
                            "below the room"));
        }
        for (std::size_t i = 0; i < bank.runners.size(); ++i) {
            text +=
                bench_reading(read, name, "runner", std::to_string(geometry::cylinder_of(bank, i)));
        }
        if (!bank.runners.empty()) {
            text += bench_reading(read, name, "all", "");
        }
    }
    return text;
}

/// In which order a list of readings names the cylinders.
std::string cylinders_in_order(std::size_t count) {
    return count == 1 ? "cylinder 1" : fmt::format("cylinders 1 to {}", count);
}

std::string engine_readings(const Case& c) {
    std::string text;
    const Instruments read(c.units);
    const auto cylinders = static_cast<std::size_t>(c.engine.cylinder_count());
    for (const auto& point : c.points) {
        text +=
            fmt::format("\n# [[engine]]   # {:.0f} rpm, {:.1f} kPa abs before the throttle\n",
                        geometry::to_unit(point.speed, "rpm"),
                        geometry::to_unit(point.pressure, "kPa")) +
            line_of("point", fmt::format("\"{}\"", point.name), "") +
            line_of("trims",
                    fmt::format("\"{} %\"", blanks(cylinders)),
                    "active then, + is more fuel") +
            line_of(
                "lambda", fmt::format("[{}]", blanks(cylinders)), cylinders_in_order(cylinders)) +
            line_of("lambda_uncertainty", "0.01", "95 %") +
            line_of("sensor", "\"runner\"", "runner, collector or before turbine") +
            line_of("compensated", "\"on\"", "for exhaust pressure") +
            line_of("exhaust_temperature",
                    fmt::format("\"{} {}\"", blanks(cylinders), read.temperature),
                    "weak evidence") +
            line_of("probe_distance",
                    Instruments::blank(read.length),
                    "of the probes from the flange") +
            line_of("air_flow", Instruments::blank(read.air), "of the whole engine") +
            line_of("plenum_pressure", Instruments::blank(read.pressure), "mean");
    }
    return text;
}

}  // namespace

std::string blank_measured(const Case& c) {
    std::string text = fmt::format(
        "# Readings for: {}\n"
        "# Fill in what was measured and take the # before its lines away; leave the rest. Keys "
        "and\n"
        "# units: docs/measured-file.md. Lean running destroys engines: begin rich, at low load.\n"
        "format = 1\n\n"
        "[measured]\n"
        "# title = \"____\"\n\n"
        "# ---- gauges ----\n",
        c.title);
    text += gauges(c);
    text += "\n# ---- flow bench ----\n" + bench_readings(c);
    if (c.has_engine) {
        text += "\n# ---- injectors, from a flow-match sheet ----\n# [injectors]\n" +
                line_of("flow",
                        fmt::format("[{}]",
                                    blanks(static_cast<std::size_t>(c.engine.cylinder_count()))),
                        cylinders_in_order(static_cast<std::size_t>(c.engine.cylinder_count())) +
                            "; any one unit");
        text += "\n# ---- engine, steady ----\n" + engine_readings(c);
    }
    return text;
}

}  // namespace plenair

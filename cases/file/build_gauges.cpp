#include "cases/file/build.hpp"
#include "cases/file/build_measured.hpp"
#include "cases/file/csv_rows.hpp"
#include "cases/file/slot_shop.hpp"
#include "cases/study/machining.hpp"
#include "geometry/error.hpp"
#include "geometry/places.hpp"
#include "geometry/runner_metal.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace plenair::file {
namespace {

/// How far a gauge may stand from the station that is meant.
constexpr double station_slack = 1e-3;  // m

/// Stations of the machining sheet of a bank [m]; empty where the case has no sheet.
std::vector<double> sheet_stations(const Case& c, std::size_t bank) {
    std::vector<double> x;
    try {
        for (const auto& sheet : machining_sheets(c, slot_shops(c))) {
            if (sheet.bank != geometry::bank_name(c.intake, bank)) {
                continue;
            }
            for (const auto& station : sheet.stations) {
                x.push_back(station.x);
            }
        }
    } catch (const InputError&) {
        x.clear();
    }
    return x;
}

void read_file(const Scope& scope, GaugeReading& gauge, MeasuredContext& context) {
    const Value& file = *scope.good("gauge.file");
    const auto columns = scope.value("gauge.columns").words;
    if (columns.size() != 2) {
        refuse(context.messages,
               file,
               "gauge.columns must name two columns; write columns = [\"x | mm\", \"width | mm\"]");
        return;
    }
    std::vector<WantedColumn> wanted;
    for (const auto& column : columns) {
        const bool first = wanted.empty();
        wanted.push_back({column_name(column),
                          Dimension::length,
                          measured_table().find(first ? "gauge.x" : "gauge.value")});
        if (wanted.back().title.unit.empty()) {
            refuse(context.messages,
                   *scope.find("gauge.columns"),
                   fmt::format("\"{0}\" has no unit; write \"{0} | mm\"", column));
            return;
        }
    }
    CsvRows rows(
        (context.folder / file.word()).string(), separator_of(scope, "gauge.separator"), wanted);
    constexpr std::size_t most_stations = 10000;
    while (const auto row = rows.next()) {
        if (gauge.x.size() == most_stations) {
            refuse(context.messages,
                   file,
                   fmt::format("has more than {} stations; is it the right file?", most_stations));
            return;
        }
        gauge.x.push_back((*row)[0]);
        gauge.value.push_back((*row)[1]);
    }
    if (!rows.fault().empty()) {
        refuse(context.messages, file, rows.fault());
    } else if (gauge.value.empty()) {
        refuse(context.messages, file, "has no rows below its first line; fill it in");
    }
}

/// Eight of nine stations: says which one is missing.
void check_stations(const Value& value, GaugeReading& gauge, MeasuredContext& context) {
    const auto stations = sheet_stations(context.c, gauge.bank.value_or(0));
    const std::size_t found = gauge.value.size();
    if (!gauge.x.empty() && gauge.x.size() != found) {
        refuse(context.messages,
               value,
               fmt::format(
                   "{} at {}; give as many of each",
                   found == 1 ? "1 value" : fmt::format("{} values", found),
                   gauge.x.size() == 1 ? "1 station" : fmt::format("{} stations", gauge.x.size())));
        return;
    }
    if (found == 1 || stations.empty()) {
        return;
    }
    if (gauge.x.empty()) {
        if (found == stations.size()) {
            gauge.x = stations;
        } else {
            refuse(context.messages,
                   value,
                   fmt::format("{} values for the {} stations of the machining sheet; gauge the "
                               "missing one, or name the stations with x",
                               found,
                               stations.size()));
        }
        return;
    }
    for (std::size_t i = 1; i < gauge.x.size(); ++i) {
        if (gauge.x[i] <= gauge.x[i - 1]) {
            refuse(context.messages,
                   value,
                   fmt::format("station {} at {} is not behind station {} at {}; list them "
                               "in rising order, each once",
                               i + 1,
                               context.messages.length1(gauge.x[i]),
                               i,
                               context.messages.length1(gauge.x[i - 1])));
            return;
        }
    }
    std::vector<std::string> missing;
    for (std::size_t k = 0; k < stations.size(); ++k) {
        const bool there = std::any_of(gauge.x.begin(), gauge.x.end(), [&](double x) {
            return std::abs(x - stations[k]) < station_slack;
        });
        if (!there) {
            missing.push_back(
                fmt::format("{} (x {})", k + 1, context.messages.length1(stations[k])));
        }
    }
    if (!missing.empty() && missing.size() <= stations.size() / 2) {
        refuse(context.messages,
               value,
               fmt::format("station {} of the machining sheet is missing; gauge it",
                           fmt::join(missing, ", ")));
    }
}

void check_count(const Value& value, const GaugeReading& gauge, MeasuredContext& context) {
    std::size_t runners = 0;
    for (std::size_t b = 0; b < context.c.intake.banks.size(); ++b) {
        runners += gauge.of_bank(b) ? context.c.intake.banks[b].runners.size() : 0;
    }
    const bool per_runner = gauge.entry.starts_with("runner.");
    const std::size_t count = gauge.value.size();
    if (count != 1 && !(per_runner && count == runners)) {
        refuse(
            context.messages,
            value,
            per_runner
                ? fmt::format("{} values for {} runners; give one, or one a runner", count, runners)
                : fmt::format("{} values; give one", count));
    }
}

bool part_exists(const GaugeReading& gauge, const Case& c) {
    for (std::size_t b = 0; b < c.intake.banks.size(); ++b) {
        const auto& bank = c.intake.banks[b];
        if (gauge.of_bank(b) && (gauge.entry.starts_with("slot.")       ? bank.slot.has_value()
                                 : gauge.entry.starts_with("throttle.") ? !bank.throttles.empty()
                                                                        : !bank.runners.empty())) {
            return true;
        }
    }
    return false;
}

/// What the drawing says of a gauged entry, over all parts that it is of [m]; empty for radii,
/// which made parts miss by any factor, and where the slot has no pieces.
std::vector<double> drawn_sizes(const GaugeReading& gauge, const Case& c) {
    std::vector<double> drawn;
    for (std::size_t b = 0; b < c.intake.banks.size(); ++b) {
        const auto& bank = c.intake.banks[b];
        if (!gauge.of_bank(b)) {
            continue;
        }
        if (gauge.entry == "slot.width" && bank.slot && !bank.slot->pieces.empty()) {
            drawn.push_back(bank.slot->pieces.front().width.smallest());
        } else if (gauge.entry == "slot.land" && bank.slot && bank.slot->land > 0) {
            drawn.push_back(bank.slot->land);
        }
        for (const auto& throttle : bank.throttles) {
            if (gauge.entry == "throttle.bore" || gauge.entry == "throttle.shaft") {
                drawn.push_back(gauge.entry == "throttle.bore" ? throttle.bore : throttle.shaft);
            }
        }
        for (const auto& runner : bank.runners) {
            if (gauge.entry == "runner.length") {
                drawn.push_back(geometry::flange_length(runner));
            } else if (gauge.entry == "runner.diameter") {
                drawn.push_back(runner.mouth_diameter());
            }
        }
    }
    return drawn;
}

/// A value far from the drawn one is a slip of the pen or of the unit.
void check_near(const Value& value, const GaugeReading& gauge, MeasuredContext& context) {
    const auto drawn = drawn_sizes(gauge, context.c);
    const double most = *std::max_element(gauge.value.begin(), gauge.value.end());
    if (gauge.entry == "slot.edge_radius") {
        const auto& slot = context.c.intake.banks[gauge.bank.value_or(0)].slot;
        if (slot && slot->land > 0 && most > slot->land) {
            refuse(context.messages,
                   value,
                   fmt::format("{} found on a land of {}; check unit and number",
                               context.messages.length(most),
                               context.messages.length(slot->land)));
        }
        return;
    }
    if (drawn.empty() || drawn.front() <= 0) {
        return;
    }
    const double least = *std::min_element(gauge.value.begin(), gauge.value.end());
    const auto [small, large] = std::minmax_element(drawn.begin(), drawn.end());
    if (most > 2 * *large || least < 0.5 * *small) {
        refuse(context.messages,
               value,
               fmt::format("{} found where {} are drawn; check unit and number",
                           context.messages.length(most > 2 * *large ? most : least),
                           context.messages.length(most > 2 * *large ? *large : *small)));
    }
}

/// The first station that is beside the slot's pieces, which may stand apart from one another.
void check_inside(const Value& value, const GaugeReading& gauge, MeasuredContext& context) {
    const auto& slot = context.c.intake.banks[gauge.bank.value_or(0)].slot;
    if (!slot || slot->pieces.empty()) {
        return;
    }
    double begin = slot->pieces.front().x, end = begin;
    for (const auto& piece : slot->pieces) {
        begin = std::min(begin, piece.x);
        end = std::max(end, piece.x + piece.length);
    }
    for (const double x : gauge.x) {
        if (x < begin - station_slack || x > end + station_slack) {
            refuse(context.messages,
                   value,
                   fmt::format("a station at {} is outside the slot, which is from {} to {}; check "
                               "x, which counts from the inside face of the end wall",
                               context.messages.length1(x),
                               context.messages.length1(begin),
                               context.messages.length1(end)));
            return;
        }
    }
}

/// Whether the same size of the same part was gauged above; refuses it then.
bool gauged_above(const Value& value, const GaugeReading& gauge, MeasuredContext& context) {
    const auto& above = context.measured.gauges;
    const bool found = std::any_of(above.begin(), above.end(), [&](const GaugeReading& other) {
        return other.entry == gauge.entry &&
               (!other.bank || !gauge.bank || other.bank == gauge.bank);
    });
    if (found) {
        refuse(context.messages,
               value,
               fmt::format("{} was gauged above already; keep one table of it, with the means or "
                           "with all stations in one list",
                           gauge.entry));
    }
    return found;
}

}  // namespace

void note_default(MeasuredContext& context, const std::string& what, const std::string& half) {
    context.measured.defaults.push_back(what + ": +/-" + half + ", not stated, usual");
}

BankOfReading bank_of(const Scope& scope,
                      const std::string& key,
                      bool needed,
                      MeasuredContext& context) {
    const auto& intake = context.c.intake;
    std::vector<std::string> names;
    for (std::size_t b = 0; b < intake.banks.size(); ++b) {
        names.push_back(geometry::bank_name(intake, b));
    }
    if (!scope.find(key)) {
        if (needed && names.size() > 1) {
            const auto own = key.substr(key.rfind('.') + 1);
            context.messages.error(
                scope.place,
                fmt::format("{}.{}: missing, for the case has the banks {}; write {} = \"{}\"",
                            scope.shown,
                            own,
                            fmt::join(names, ", "),
                            own,
                            names.front()));
            return {false, {}};
        }
        return {};
    }
    const Value* value = scope.good(key);
    if (!value) {
        return {false, {}};
    }
    if (names.size() < 2) {
        refuse(context.messages, *value, "the case has one bank only; remove the line");
        return {false, {}};
    }
    for (std::size_t b = 0; b < names.size(); ++b) {
        if (value->word() == names[b] || value->word() == std::to_string(b + 1)) {
            return {true, b};
        }
    }
    refuse(context.messages,
           *value,
           fmt::format("no such bank in the case; it has {}", fmt::join(names, " and ")));
    return {false, {}};
}

void build_gauges(const Scope& root, MeasuredContext& context) {
    for (const auto& scope : root.list("gauge")) {
        GaugeReading gauge;
        gauge.entry = scope.word("gauge.entry");
        gauge.instrument = scope.word("gauge.instrument");
        const Value* value = scope.good("gauge.value");
        const Value* file = scope.good("gauge.file");
        if (!value == !file) {
            if (!scope.find("gauge.value")) {
                context.messages.error(
                    scope.place,
                    fmt::format("{}: no value; write value = \"6.01 mm\"", scope.shown));
            } else if (value) {
                refuse(context.messages, *file, "beside value; give one of them");
            }
            continue;
        }
        if (file) {
            read_file(scope, gauge, context);
            value = file;
        } else {
            gauge.value = value->numbers;
            gauge.x = scope.value("gauge.x").numbers;
        }
        if (gauge.value.empty() || gauge.entry.empty()) {
            continue;
        }
        const auto of = bank_of(scope, "gauge.bank", !gauge.entry.starts_with("runner."), context);
        if (!of.good) {
            continue;
        }
        gauge.bank = of.bank;
        if (!part_exists(gauge, context.c)) {
            refuse(context.messages,
                   *value,
                   fmt::format("{} has no {}; remove the reading",
                               gauge.bank ? geometry::bank_words(
                                                geometry::bank_name(context.c.intake, *gauge.bank))
                                          : std::string("the case"),
                               gauge.entry));
            continue;
        }
        if (gauged_above(*value, gauge, context)) {
            continue;
        }
        if (gauge.entry == "slot.width") {
            check_stations(*value, gauge, context);
            check_inside(*value, gauge, context);
        } else {
            check_count(*value, gauge, context);
        }
        check_near(*value, gauge, context);
        if (const auto half = scope.maybe("gauge.uncertainty")) {
            gauge.uncertainty = *half;
        } else {
            gauge.uncertainty = usual::gauge(gauge.instrument).value_or(5e-5);
            note_default(
                context,
                (gauge.bank
                     ? geometry::bank_prefix(geometry::bank_name(context.c.intake, *gauge.bank))
                     : std::string{}) +
                    gauge.entry + (gauge.instrument.empty() ? "" : ", " + gauge.instrument),
                context.messages.length(gauge.uncertainty));
        }
        context.measured.gauges.push_back(gauge);
    }
}

}  // namespace plenair::file

#include "cases/file/build.hpp"
#include "cases/file/build_measured.hpp"
#include "cases/file/csv_rows.hpp"
#include "cases/study/machining.hpp"
#include "geometry/error.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace plenair::file {
namespace {

/// Stations of the machining sheet [m]; empty where the case has no sheet.
std::vector<double> sheet_stations(const Case& c) {
    std::vector<double> x;
    try {
        for (const auto& sheet : machining_sheets(c)) {
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
        wanted.push_back({column_name(column), Dimension::length});
        if (wanted.back().title.unit.empty()) {
            refuse(context.messages,
                   *scope.find("gauge.columns"),
                   fmt::format("\"{0}\" has no unit; write \"{0} | mm\"", column));
            return;
        }
    }
    CsvRows rows(context.folder + file.word(), ',', wanted);
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
    const auto stations = sheet_stations(context.c);
    const std::size_t found = gauge.value.size();
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
    if (gauge.x.size() != found) {
        refuse(
            context.messages,
            value,
            fmt::format("{} values at {} stations; give as many of each", found, gauge.x.size()));
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
            return std::abs(x - stations[k]) < 1e-3;
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
    for (const auto& bank : context.c.intake.banks) {
        runners += bank.runners.size();
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

bool part_exists(const std::string& entry, const Case& c) {
    return std::any_of(c.intake.banks.begin(), c.intake.banks.end(), [&](const auto& bank) {
        return entry.starts_with("slot.")       ? bank.slot.has_value()
               : entry.starts_with("throttle.") ? !bank.throttles.empty()
                                                : !bank.runners.empty();
    });
}

/// A value far from the drawn one is a slip of the pen or of the unit.
void check_near(const Value& value, const GaugeReading& gauge, MeasuredContext& context) {
    if (gauge.entry != "slot.width") {
        return;
    }
    for (const auto& bank : context.c.intake.banks) {
        if (bank.slot && !bank.slot->pieces.empty()) {
            const double drawn = bank.slot->pieces.front().width.smallest();
            const double most = *std::max_element(gauge.value.begin(), gauge.value.end());
            const double least = *std::min_element(gauge.value.begin(), gauge.value.end());
            if (most > 2 * drawn || least < 0.5 * drawn) {
                refuse(context.messages,
                       value,
                       fmt::format("{} found where {} are drawn; check unit and number",
                                   context.messages.length(most > 2 * drawn ? most : least),
                                   context.messages.length(drawn)));
            }
            return;
        }
    }
}

}  // namespace

void note_default(MeasuredContext& context, const std::string& what, const std::string& half) {
    context.measured.defaults.push_back(what + ": +/-" + half + ", not stated, usual");
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
        if (!part_exists(gauge.entry, context.c)) {
            refuse(context.messages,
                   *value,
                   fmt::format("the case has no {}; remove the reading", gauge.entry));
            continue;
        }
        if (gauge.entry == "slot.width") {
            check_stations(*value, gauge, context);
            check_near(*value, gauge, context);
        } else {
            check_count(*value, gauge, context);
        }
        if (const auto half = scope.maybe("gauge.uncertainty")) {
            gauge.uncertainty = *half;
        } else {
            gauge.uncertainty = usual::gauge(gauge.instrument).value_or(5e-5);
            note_default(context,
                         gauge.entry + (gauge.instrument.empty() ? "" : ", " + gauge.instrument),
                         context.messages.length(gauge.uncertainty));
        }
        context.measured.gauges.push_back(gauge);
    }
}

}  // namespace plenair::file

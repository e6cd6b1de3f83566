#include "cases/file/build.hpp"
#include "cases/file/build_measured.hpp"
#include "cases/file/csv_rows.hpp"
#include "cases/file/steady_rows.hpp"
#include "cases/file/value_limit.hpp"
#include "geometry/places.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <fmt/format.h>

/// Steady parts of a logger's file.
namespace plenair::file {
namespace {

constexpr double near_speed = 0.03;  // of a point of the case
constexpr double near_pressure = 0.05;
/// Rows closer than the response of a sensor are not new readings (common practice).
constexpr double response_time = 0.5;  // s

struct LogColumns {
    std::vector<WantedColumn> wanted;
    bool pressure = false;
    std::size_t lambdas = 0, temperatures = 0;
    std::vector<std::size_t> cylinders;
    std::vector<std::size_t> sensor_order;  ///< as in EngineReading
};

/// Cylinders of the columns: those that are named, else those of the bank, else all.
std::optional<std::vector<std::size_t>> cylinders_of_log(const Scope& scope,
                                                         MeasuredContext& context) {
    const auto of = bank_of(scope, "log.bank", false, context);
    const Value* named = scope.find("log.cylinders");
    if (!of.good) {
        return std::nullopt;
    }
    if (!of.bank) {
        return cylinders_of(scope, "log.cylinders", context);
    }
    if (named) {
        refuse(context.messages, *named, "bank says it already; keep one of the two");
        return std::nullopt;
    }
    const auto& bank = context.c.intake.banks[*of.bank];
    std::vector<std::size_t> own;
    for (std::size_t i = 0; i < bank.runners.size(); ++i) {
        own.push_back(static_cast<std::size_t>(geometry::cylinder_of(bank, i)) - 1);
    }
    return own;
}

bool add_column(const Scope& scope,
                const std::string& key,
                const std::string& text,
                Dimension dimension,
                LogColumns& columns,
                MeasuredContext& context) {
    const Key* known = measured_table().find(key);
    WantedColumn wanted{column_name(text), dimension, known->high.empty() ? nullptr : known};
    if (wanted.title.unit.empty() && dimension != Dimension::none) {
        refuse(context.messages,
               *scope.find(key),
               fmt::format("\"{}\" has no unit; write it behind a bar, \"{} | {}\"",
                           text,
                           text,
                           dimension == Dimension::pressure ? "kPa abs"
                           : dimension == Dimension::time   ? "s"
                                                            : geometry::usual_unit(dimension)));
        return false;
    }
    columns.wanted.push_back(wanted);
    return true;
}

std::optional<LogColumns> columns_of(const Scope& scope, MeasuredContext& context) {
    LogColumns columns;
    const auto cylinders = cylinders_of_log(scope, context);
    if (!cylinders) {
        return std::nullopt;
    }
    columns.cylinders = *cylinders;
    columns.sensor_order = sensor_order_of(scope, "log.sensor_order", columns.cylinders, context);
    bool good = scope.good("log.time") && scope.good("log.speed") && scope.good("log.lambda");
    const auto add = [&](const std::string& key, Dimension dimension) {
        for (const auto& text : scope.value(key).words) {
            good = good && add_column(scope, key, text, dimension, columns, context);
        }
        return scope.value(key).words.size();
    };
    add("log.time", Dimension::time);
    add("log.speed", Dimension::speed);
    columns.pressure = add("log.pressure", Dimension::pressure) > 0;
    columns.lambdas = add("log.lambda", Dimension::none);
    columns.temperatures = add("log.exhaust_temperature", Dimension::temperature);
    for (const auto& [key, count] :
         {std::pair<std::string, std::size_t>{"log.lambda", columns.lambdas},
          {"log.exhaust_temperature", columns.temperatures}}) {
        if (good && count > 0 && count != columns.cylinders.size()) {
            refuse(context.messages,
                   *scope.find(key),
                   fmt::format("{} {} for {} cylinders; name the measured ones with cylinders = "
                               "[...]",
                               count,
                               count == 1 ? "column" : "columns",
                               columns.cylinders.size()));
            good = false;
        }
        const auto words = scope.value(key).words;
        for (auto word = words.begin(); good && word != words.end(); ++word) {
            if (std::find(words.begin(), word, *word) != word) {
                refuse(context.messages,
                       *scope.find(key),
                       fmt::format("\"{}\" stands twice; name the column of each cylinder", *word));
                good = false;
            }
        }
    }
    return good ? std::optional(columns) : std::nullopt;
}

/// The point of the case at which the engine ran; nothing where none is near.
std::optional<std::size_t> point_near(const SteadyRows& part, bool pressure, const Case& c) {
    std::optional<std::size_t> best;
    double least = 1;
    for (std::size_t i = 0; i < c.points.size(); ++i) {
        const double off = std::abs(part.speed / c.points[i].speed - 1) / near_speed;
        const double load =
            pressure ? std::abs(part.pressure / c.points[i].pressure - 1) / near_pressure : 0;
        if (std::max(off, load) <= least) {
            least = std::max(off, load);
            best = i;
        }
    }
    return best;
}

/// Half width of a mean: what the instrument is worth, and twice the standard error of the rows.
double half_width(double instrument, const SteadyRows& part, double scatter) {
    const double independent = std::min(static_cast<double>(part.rows),
                                        std::max((part.end - part.begin) / response_time, 1.0));
    return std::sqrt(instrument * instrument + 4 * scatter * scatter / independent);
}

/// A sensor that is open or in another unit than the column says shows in its mean.
bool are_temperatures(const Scope& scope,
                      const LogColumns& columns,
                      const SteadyRows& part,
                      MeasuredContext& context) {
    const Key& key = *measured_table().find("engine.exhaust_temperature");
    for (std::size_t k = 0; k < columns.temperatures; ++k) {
        const double mean = part.mean[columns.lambdas + k];
        if (std::isfinite(mean) && !limit_fault(key, "", mean, {})) {
            continue;
        }
        const std::size_t first = columns.wanted.size() - columns.temperatures;
        refuse(context.messages,
               *scope.find("log.file"),
               fmt::format("column \"{}\" is {} K on the mean from {:.1f} to {:.1f} s; exhaust "
                           "temperatures are {} and {}: check the sensor and the column's unit, or "
                           "leave exhaust_temperature out",
                           columns.wanted[first + k].title.name,
                           geometry::format_number(mean),
                           part.begin,
                           part.end,
                           key.low,
                           key.high));
        return false;
    }
    return true;
}

/// The reading at a point that takes these columns: one whose cylinders another logger did not
/// read, or a new one; none where all of that was read already.
EngineReading* reading_for(const LogColumns& columns, std::size_t point, MeasuredContext& context) {
    auto& engine = context.measured.engine;
    std::size_t times = 0;
    for (auto& e : engine) {
        if (e.point != point) {
            continue;
        }
        ++times;
        if (e.sensor_order != columns.sensor_order) {
            continue;
        }
        const bool read = std::any_of(columns.cylinders.begin(),
                                      columns.cylinders.end(),
                                      [&](std::size_t c) { return e.lambda[c].has_value(); });
        return read ? nullptr : &e;
    }
    EngineReading& fresh = engine.emplace_back();
    fresh.point = point;
    fresh.name = context.c.points[point].name;
    if (times > 0) {
        fresh.name += fmt::format(" ({})", times + 1);
    }
    const auto count = static_cast<std::size_t>(context.c.engine.cylinder_count());
    fresh.trims.assign(count, 0.0);
    fresh.lambda.assign(count, std::nullopt);
    fresh.sensor_order = columns.sensor_order;
    return &fresh;
}

void keep(const Scope& scope,
          const LogColumns& columns,
          const SteadyRows& part,
          MeasuredContext& context) {
    const auto point = point_near(part, columns.pressure, context.c);
    const double rpm = part.speed * 30 / std::numbers::pi;
    if (!point) {
        // Of the speed alone there may be one: then the pressure is in question.
        const auto by_speed = columns.pressure ? point_near(part, false, context.c) : std::nullopt;
        const auto kilopascals = [&](double pressure) {
            return geometry::format_as(pressure, "kPa", 1, context.c.units);
        };
        context.measured.warnings.push_back(fmt::format(
            "{}: steady at {:.0f} rpm from {:.1f} to {:.1f} s, where the case has no point{}; left "
            "out",
            scope.word("log.file"),
            rpm,
            part.begin,
            part.end,
            by_speed ? fmt::format(": the log has {} abs, {} has {}; is the column gauge pressure?",
                                   kilopascals(part.pressure),
                                   context.c.points[*by_speed].name,
                                   kilopascals(context.c.points[*by_speed].pressure))
                     : ""));
        return;
    }
    const auto& name = context.c.points[*point].name;
    EngineReading* reading = reading_for(columns, *point, context);
    if (!reading) {
        context.measured.warnings.push_back(
            fmt::format("{}: a second reading at {}, from {:.1f} to {:.1f} s; the first is kept",
                        scope.word("log.file"),
                        name,
                        part.begin,
                        part.end));
        return;
    }
    if (!are_temperatures(scope, columns, part, context)) {
        return;
    }
    SteadyPart steady{
        scope.word("log.file"), name, part.begin, part.end, part.rows, part.speed, {}};
    double worst = 0;
    for (std::size_t k = 0; k < columns.lambdas; ++k) {
        reading->lambda[columns.cylinders[k]] = part.mean[k];
        steady.lambda_scatter.push_back(part.scatter(k));
        worst = std::max(worst, part.scatter(k));
    }
    reading->lambda_uncertainty = std::max(
        reading->lambda_uncertainty,
        half_width(scope.maybe("log.lambda_uncertainty").value_or(usual::lambda), part, worst));
    if (columns.temperatures > 0) {
        reading->exhaust_temperature.resize(reading->lambda.size());
        double rough = 0;
        for (std::size_t k = 0; k < columns.temperatures; ++k) {
            reading->exhaust_temperature[columns.cylinders[k]] = part.mean[columns.lambdas + k];
            rough = std::max(rough, part.scatter(columns.lambdas + k));
        }
        reading->temperature_uncertainty = std::max(
            reading->temperature_uncertainty, half_width(usual::exhaust_temperature, part, rough));
    }
    context.measured.steady.push_back(steady);
}

void read_log(const Scope& scope, const LogColumns& columns, MeasuredContext& context) {
    const Value& file = *scope.good("log.file");
    CsvRows rows((context.folder / file.word()).string(),
                 separator_of(scope, "log.separator"),
                 columns.wanted);
    const double least_time = scope.number("log.steady_time");
    SteadyRows part;
    double last = 0;
    std::size_t count = 0;
    bool any_steady = false;
    const std::size_t first = columns.pressure ? 3 : 2;
    const auto close = [&] {
        if (part.rows > 1 && part.end - part.begin >= least_time) {
            any_steady = true;
            keep(scope, columns, part, context);
        }
        part = {};
    };
    while (const auto row = rows.next()) {
        const double time = (*row)[0];
        if (count > 0 && time < last) {
            refuse(context.messages,
                   file,
                   fmt::format("line {}: time runs backwards, {} s after {} s; cut the file there "
                               "into two",
                               rows.line(),
                               geometry::format_number(time),
                               geometry::format_number(last)));
            return;
        }
        for (std::size_t k = 0; k < columns.lambdas; ++k) {
            if (const double l = (*row)[first + k]; l < 0.4 || l > 3) {
                refuse(context.messages,
                       file,
                       fmt::format("line {}, column \"{}\" = {}: {}",
                                   rows.line(),
                                   columns.wanted[first + k].title.name,
                                   geometry::format_number(l),
                                   l > 3 ? "looks like an air-fuel ratio; log lambda, or divide by "
                                           "the fuel's stoich ratio"
                                         : "no lambda; delete the rows where the sensor was cold"));
                return;
            }
        }
        last = time;
        ++count;
        const double pressure = columns.pressure ? (*row)[2] : 1.0;
        if (part.gap(time, least_time) || !part.fits((*row)[1], pressure)) {
            close();
        }
        part.add(time, (*row)[1], pressure, {row->begin() + static_cast<long>(first), row->end()});
    }
    close();
    if (!rows.fault().empty()) {
        refuse(context.messages, file, rows.fault());
    } else if (count == 0) {
        refuse(context.messages, file, "has no rows below its first line; is it the right file?");
    } else if (!any_steady) {
        context.measured.warnings.push_back(fmt::format("{}: no steady part of {} s in {} rows",
                                                        file.word(),
                                                        geometry::format_number(least_time),
                                                        count));
    }
}

}  // namespace

char separator_of(const Scope& scope, const std::string& key) {
    const auto word = scope.word(key);
    return word == "tab" ? '\t' : word == "semicolon" ? ';' : ',';
}

void build_logs(const Scope& root, MeasuredContext& context) {
    for (const auto& scope : root.list("log")) {
        if (!context.c.has_engine) {
            context.messages.error(scope.place, "[[log]] for a case without an engine; remove it");
            return;
        }
        const auto columns = columns_of(scope, context);
        if (columns && scope.good("log.file")) {
            if (!scope.maybe("log.lambda_uncertainty")) {
                note_default(context, scope.word("log.file") + ", lambda", "0.01");
            }
            read_log(scope, *columns, context);
        }
    }
}

}  // namespace plenair::file

#include "cases/file/build.hpp"
#include "cases/file/build_measured.hpp"
#include "cases/file/humidity.hpp"
#include "cases/file/value_limit.hpp"
#include "cases/study/bench_repeats.hpp"
#include "geometry/places.hpp"

#include <fmt/format.h>

namespace plenair::file {
namespace {

using geometry::parse_quantity;

/// A flow as written: by mass, by volume, or as a share of another.
struct Flow {
    double number = 0;
    Dimension dimension = Dimension::mass_flow;
};

std::optional<Flow> read_flow(const Value& value, bool share, MeasuredContext& context) {
    const auto text = value.word();
    for (const auto dimension : {Dimension::mass_flow, Dimension::volume_flow, Dimension::ratio}) {
        const bool bare = text.find_first_not_of("+-.0123456789eE ") == std::string::npos;
        if (dimension == Dimension::ratio && (!share || bare)) {
            continue;
        }
        if (const auto outcome = parse_quantity(text, dimension); outcome.value) {
            if (*outcome.value < 0 || (!share && *outcome.value <= 0)) {
                refuse(
                    context.messages,
                    value,
                    fmt::format("must be {} 0; check the reading", share ? "at least" : "above"));
                return std::nullopt;
            }
            return Flow{*outcome.value, dimension};
        }
    }
    const auto outcome = parse_quantity(text, Dimension::volume_flow);
    // The whole entry to write; a unit alone would not say which of them.
    const bool whole = outcome.remedy.starts_with("write \"") &&
                       outcome.remedy.find_first_of("0123456789") != std::string::npos &&
                       outcome.problem != "no unit";
    refuse(context.messages,
           value,
           whole ? fmt::format("{}; {}", outcome.problem, outcome.remedy)
                 : fmt::format("{}; use g/s, kg/h, lb/min, CFM or m3/h{}",
                               outcome.problem,
                               share ? ", or % of the flow" : ""));
    return std::nullopt;
}

/// Whether the flow is one that a bench measures; reports where it is not.
bool is_bench_flow(const Value& value,
                   double flow,
                   const std::string& remedy,
                   MeasuredContext& context) {
    const Key& key = *measured_table().find("bench.flow");
    const auto fault = limit_fault(key, value.text, flow, context.c.units);
    if (fault) {
        refuse(context.messages,
               value,
               fmt::format("{} kg/s of air {}; {}",
                           geometry::format_number(flow),
                           fault->substr(0, fault->find("; ")),
                           remedy));
    }
    return !fault;
}

/// Room air of the reading; false where it is not stated but needed.
bool read_air(const Scope& scope, BenchReading& reading, bool needed, MeasuredContext& context) {
    const auto barometer = scope.maybe("bench.barometer");
    const auto temperature = scope.maybe("bench.temperature");
    const auto density = scope.maybe("bench.density");
    reading.barometer = barometer.value_or(context.c.barometer);
    reading.temperature = temperature.value_or(293.15);
    const double water =
        humidity_ratio(scope.number("bench.humidity"), reading.temperature, reading.barometer);
    reading.gas_constant = moist_gas_constant(water);
    reading.density =
        density.value_or(reading.barometer / (reading.gas_constant * reading.temperature));
    const auto refused = [&](const char* key) { return scope.find(key) && !scope.good(key); };
    if (refused("bench.barometer") || refused("bench.temperature") || refused("bench.density")) {
        return false;
    }
    if (needed && !density && (!barometer || !temperature)) {
        const Value* flow = scope.find("bench.flow");
        refuse(context.messages,
               *flow,
               fmt::format("a volume flow without its air: {} not stated; write {}",
                           !barometer && !temperature ? "temperature and barometer are"
                           : !barometer               ? "barometer is"
                                                      : "temperature is",
                           !barometer && !temperature
                               ? "temperature = \"20 degC\" and barometer = \"101.3 kPa abs\", or "
                                 "density = \"1.204 kg/m3\""
                           : !barometer ? "barometer = \"101.3 kPa abs\""
                                        : "temperature = \"20 degC\""));
        return false;
    }
    if (!barometer || !temperature) {
        context.measured.warnings.push_back(
            fmt::format("{}: {} taken; state temperature and barometer of the room",
                        reading.name,
                        !barometer && !temperature ? "20 degC and the case's barometer are"
                        : !barometer               ? "the case's barometer is"
                                                   : "20 degC are"));
    }
    return true;
}

bool read_orifice(const Scope& scope, BenchReading& reading, MeasuredContext& context) {
    const auto diameter = scope.maybe("bench.orifice_diameter");
    const auto drop = scope.maybe("bench.orifice_drop");
    const auto cd = scope.maybe("bench.orifice_cd");
    if (!diameter || !drop || !cd) {
        context.messages.error(
            scope.place,
            fmt::format("{}: no flow; write flow = \"431 CFM\", or orifice_diameter, orifice_cd "
                        "and orifice_drop together",
                        scope.shown));
        return false;
    }
    constexpr double pi = 3.14159265358979323846;
    reading.flow_read =
        *cd * 0.25 * pi * *diameter * *diameter *
        ideal_flux(reading.barometer, reading.temperature, reading.gas_constant, *drop);
    return is_bench_flow(*scope.find("bench.orifice_diameter"),
                         reading.flow_read,
                         "check orifice_diameter, orifice_cd and orifice_drop",
                         context);
}

void read_leakage(const Scope& scope, BenchReading& reading, MeasuredContext& context) {
    const Value* value = scope.good("bench.leakage");
    if (!value) {
        return;
    }
    const auto leakage = read_flow(*value, true, context);
    if (!leakage) {
        return;
    }
    reading.leakage = leakage->dimension == Dimension::ratio ? leakage->number * reading.flow_read
                      : leakage->dimension == Dimension::volume_flow
                          ? leakage->number * reading.density
                          : leakage->number;
    if (reading.leakage >= reading.flow_read) {
        refuse(context.messages, *value, "not below the flow itself; check both");
    } else if (reading.leaks()) {
        caution(context.messages,
                *value,
                fmt::format("{:.1f} % of the reading: above 3 %, so the set-up leaks more than a "
                            "part differs; seal it and read again",
                            100 * reading.leakage / reading.flow_read));
    }
}

/// Puts the runner of a cylinder on the bench, of its bank or, where none is named, of any.
bool put_runner(const Value& value, int number, BenchReading& reading, MeasuredContext& context) {
    const auto& banks = context.c.intake.banks;
    std::vector<int> known;
    std::vector<std::pair<std::size_t, int>> found;  // bank, place
    for (std::size_t b = 0; b < banks.size(); ++b) {
        for (std::size_t r = 0;
             (!reading.bank || *reading.bank == b) && r < banks[b].runners.size();
             ++r) {
            known.push_back(geometry::cylinder_of(banks[b], r));
            if (known.back() == number) {
                found.emplace_back(b, static_cast<int>(r) + 1);
            }
        }
    }
    if (found.size() == 1) {
        reading.bank = banks.size() > 1 ? std::optional(found[0].first) : std::nullopt;
        reading.runner = found[0].second;
        return true;
    }
    refuse(context.messages,
           value,
           found.empty() ? fmt::format("runner {} of {}; {} has the runners {}",
                                       number,
                                       known.size(),
                                       reading.bank ? "the bank" : "the case",
                                       geometry::listed(known))
                         : fmt::format("runner {} of which bank? write bank = \"{}\"",
                                       number,
                                       geometry::bank_name(context.c.intake, 0)));
    return false;
}

std::string runner_name(const Case& c, const BenchReading& reading) {
    return fmt::format("runner {}",
                       geometry::cylinder_of(c.intake.banks[reading.bank.value_or(0)],
                                             static_cast<std::size_t>(reading.runner) - 1));
}

bool read_set_up(const Scope& scope, BenchReading& reading, MeasuredContext& context) {
    const auto word = scope.word("bench.set_up");
    const auto runner = scope.maybe("bench.runner");
    const Value* set_up = scope.good("bench.set_up");
    if (!set_up) {
        return false;
    }
    reading.set_up = word == "slot"     ? BenchSetUp::slot
                     : word == "runner" ? BenchSetUp::runners
                                        : BenchSetUp::all;
    const auto of = bank_of(scope, "bench.bank", word != "runner", context);
    if (!of.good) {
        return false;
    }
    reading.bank = of.bank;
    bool slot = false;
    bool runners = false;
    for (std::size_t b = 0; b < context.c.intake.banks.size(); ++b) {
        const auto& bank = context.c.intake.banks[b];
        const bool meant = !reading.bank || *reading.bank == b;
        slot = slot || (meant && bank.slot);
        runners = runners || (meant && !bank.runners.empty());
    }
    if (word == "slot" ? !slot : !runners) {
        refuse(context.messages,
               *set_up,
               fmt::format("the {} has no {}; remove the reading",
                           reading.bank ? "bank" : "case",
                           word == "slot" ? word : "runner"));
        return false;
    }
    if (word != "runner") {
        if (runner) {
            refuse(context.messages,
                   *scope.find("bench.runner"),
                   "only with set_up = \"runner\"; remove it");
            return false;
        }
        return true;
    }
    if (!runner) {
        context.messages.error(scope.place,
                               fmt::format("{}.runner: missing; write which was open, e.g. runner "
                                           "= 3",
                                           scope.shown));
        return false;
    }
    return put_runner(*scope.find("bench.runner"), static_cast<int>(*runner), reading, context);
}

}  // namespace

void build_bench_readings(const Scope& root, MeasuredContext& context) {
    std::size_t number = 0;
    for (const auto& scope : root.list("bench")) {
        ++number;
        BenchReading reading;
        if (!read_set_up(scope, reading, context)) {
            continue;
        }
        reading.name = scope.word("bench.name");
        if (reading.name.empty()) {
            reading.name =
                (reading.bank
                     ? geometry::bank_prefix(geometry::bank_name(context.c.intake, *reading.bank))
                     : std::string{}) +
                (reading.set_up == BenchSetUp::slot  ? "slot"
                 : reading.set_up == BenchSetUp::all ? "all open"
                                                     : runner_name(context.c, reading));
        }
        reading.depression = scope.number("bench.depression");
        if (!context.c.bench.empty()) {
            reading.throttle_angle = context.c.bench.front().throttle_angle;
        }
        const Value* written = scope.good("bench.flow");
        const auto flow = written ? read_flow(*written, false, context) : std::nullopt;
        if (scope.find("bench.flow") && !flow) {
            continue;
        }
        reading.by_volume = flow && flow->dimension == Dimension::volume_flow;
        if (!read_air(scope, reading, reading.by_volume, context)) {
            continue;
        }
        if (flow) {
            reading.flow_read = flow->number * (reading.by_volume ? reading.density : 1.0);
            if (!is_bench_flow(
                    *written, reading.flow_read, "check the number and its unit", context)) {
                continue;
            }
            if (const Value* orifice = scope.find("bench.orifice_diameter")) {
                refuse(context.messages, *orifice, "beside flow; give one of them");
                continue;
            }
        } else if (!read_orifice(scope, reading, context)) {
            continue;
        }
        read_leakage(scope, reading, context);
        if (const auto half = scope.maybe("bench.uncertainty")) {
            reading.uncertainty = *half;
        } else {
            reading.uncertainty = usual::bench_flow;
            note_default(context, fmt::format("bench {}, {}", number, reading.name), "1.5 %");
        }
        if (build_bench_stations(scope, reading, context)) {
            context.measured.bench.push_back(reading);
        }
    }
    auto notes = study::bench_repeat_notes(context.measured.bench);
    context.measured.warnings.insert(context.measured.warnings.end(), notes.begin(), notes.end());
}

}  // namespace plenair::file

#include "cases/file/unsteady.hpp"

#include "cases/file/build.hpp"
#include "cases/file/reading.hpp"
#include "cases/file/text.hpp"
#include "geometry/error.hpp"

#include <fmt/format.h>

/// [transient] and [response]: rigs in time.
namespace plenair {
namespace {

using namespace file;

/// Air before and behind; without a depression the room has the source's pressure.
BenchSettings air_of(const Scope& root, Messages& messages) {
    BenchSettings air = build_bench_air(root, messages);
    if (!root.find("bench.depression")) {
        if (root.word("bench.blower") == "blows") {
            air.pressure -= air.depression;
        }
        air.depression = 0;
    }
    return air;
}

/// A rig, and a section that asks something of it.
void check_rig(const CaseReading& reading, const std::string& verb, Messages& messages) {
    if (reading.c.has_engine) {
        messages.error(reading.root.place_of_section("engine"),
                       fmt::format("{} is of rigs, without [engine]; take it out, or use "
                                   "plenair solve --traces for an engine",
                                   verb));
    } else if (!reading.root.has(verb)) {
        messages.error({1, 1},
                       fmt::format("no [{}]; add it with {}",
                                   verb,
                                   verb == "transient" ? "duration = \"200 ms\""
                                                       : "from = \"20 Hz\" and to = \"600 Hz\""));
    }
}

geometry::Profile over_time(const Scope& root, const std::string& key) {
    const Value* table = root.good(key);
    return table == nullptr ? geometry::Profile()
                            : geometry::Profile::stations(table->x, table->numbers);
}

void check_sine(const Scope& root, const TransientSettings& settings, Messages& messages) {
    const Value* amplitude = root.good("transient.sine_amplitude");
    const Value* frequency = root.good("transient.sine_frequency");
    if (amplitude && !root.find("transient.sine_frequency")) {
        refuse(messages, *amplitude, "no frequency; write sine_frequency = \"80 Hz\"");
    } else if (frequency && !root.find("transient.sine_amplitude")) {
        refuse(messages, *frequency, "no amplitude; write sine_amplitude = \"500 Pa\"");
    }
    if (!amplitude) {
        return;
    }
    const auto& table = settings.sine_in_room ? settings.room_pressure : settings.source_pressure;
    const double least =
        table.empty() ? settings.air.side_pressure(settings.sine_in_room) : table.smallest();
    if (amplitude->number() >= least) {
        refuse(messages,
               *amplitude,
               fmt::format("not below the pressure that it swings about ({} kPa abs); make it "
                           "smaller",
                           geometry::format_in(least, "kPa")));
    }
}

void check_angles(const CaseReading& reading, Messages& messages) {
    const Value* table = reading.root.good("transient.throttle_angle");
    if (table == nullptr) {
        return;
    }
    bool any = false;
    for (const auto& bank : reading.c.intake.banks) {
        for (const auto& throttle : bank.throttles) {
            any = true;
            if (refuse_below_stop(messages, *table, throttle)) {
                return;
            }
        }
    }
    if (!any) {
        refuse(messages, *table, "there is no [throttle]; add it, or leave the table out");
    }
}

/// A start that is settled has the pressures of its own flow.
void check_start(const Scope& root, Messages& messages) {
    if (root.word("transient.start") != "steady") {
        return;
    }
    for (const char* key : {"transient.start_pressure",
                            "transient.start_temperature",
                            "transient.plenum_pressure",
                            "transient.plenum_temperature"}) {
        if (const Value* given = root.good(key)) {
            refuse(messages, *given, "beside start = \"steady\"; leave one of them out");
        }
    }
}

}  // namespace

TransientPlan file::transient_of(const CaseReading& reading) {
    TransientPlan plan;
    plan.base = reading.c;
    Messages messages = reading.messages();
    const Scope& root = reading.root;
    check_rig(reading, "transient", messages);
    TransientSettings& s = plan.settings;
    s.air = air_of(root, messages);
    s.duration = root.number("transient.duration");
    s.samples = static_cast<int>(root.number("transient.samples"));
    s.source_pressure = over_time(root, "transient.source_pressure");
    s.room_pressure = over_time(root, "transient.room_pressure");
    s.throttle_angle = over_time(root, "transient.throttle_angle");
    s.sine_amplitude = root.maybe("transient.sine_amplitude").value_or(0);
    s.sine_frequency = root.maybe("transient.sine_frequency").value_or(0);
    s.sine_in_room = root.word("transient.sine_at") == "room";
    s.steady_start = root.word("transient.start") == "steady";
    s.start_pressure = root.maybe("transient.start_pressure");
    s.start_temperature = root.maybe("transient.start_temperature");
    s.plenum_pressure = root.maybe("transient.plenum_pressure");
    s.plenum_temperature = root.maybe("transient.plenum_temperature");
    check_sine(root, s, messages);
    check_angles(reading, messages);
    check_start(root, messages);
    if (messages.any_error()) {
        throw InputError(messages.errors());
    }
    return plan;
}

ResponsePlan file::response_of(const CaseReading& reading) {
    ResponsePlan plan;
    plan.base = reading.c;
    Messages messages = reading.messages();
    const Scope& root = reading.root;
    check_rig(reading, "response", messages);
    ResponseSettings& s = plan.settings;
    s.air = air_of(root, messages);
    s.in_room = root.word("response.at") == "room";
    s.about_rest = root.word("response.about") == "still";
    s.longest = root.number("response.longest");
    const double from = root.number("response.from");
    const double to = root.number("response.to");
    if (const Value* end = root.good("response.to"); end && root.good("response.from")) {
        if (!(to > from)) {
            refuse(messages,
                   *end,
                   fmt::format("not above response.from ({} Hz); exchange the two",
                               geometry::format_in(from, "Hz")));
        }
    }
    if (s.about_rest) {
        s.air.depression = 0;
    } else if (s.air.depression <= 0) {
        refuse(messages,
               *root.good("response.about"),
               "no flow to swing about; write [bench] depression = \"5 kPa\"");
    }
    if (messages.any_error()) {
        throw InputError(messages.errors());
    }
    const auto steps = static_cast<int>(root.number("response.steps"));
    for (int i = 0; i < steps; ++i) {
        s.frequency.push_back(from + (to - from) * i / (steps - 1));
    }
    return plan;
}

TransientPlan read_transient(const std::string& path, const std::vector<std::string>& sets) {
    return file::transient_of(file::read_once(read_text(path), shown_path(path), sets));
}

ResponsePlan read_response(const std::string& path, const std::vector<std::string>& sets) {
    return file::response_of(file::read_once(read_text(path), shown_path(path), sets));
}

}  // namespace plenair

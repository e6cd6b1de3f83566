#include "cases/file/key.hpp"

namespace plenair::file {
namespace {

void add_drive_keys(std::vector<Key>& t) {
    t.push_back({.name = "transient.source_pressure",
                 .kind = Kind::table,
                 .dimension = Dimension::pressure,
                 .low = ">= 10 kPa abs",
                 .high = "<= 600 kPa abs",
                 .choices = "time|pressure",
                 .example = "{ time = \"0, 1, 50 ms\", pressure = \"101, 130, 130 kPa abs\" }",
                 .doc = "Total pressure before the rig: straight between the times, before the "
                        "first and after the last as there. Its temperature stays."});
    t.push_back({.name = "transient.room_pressure",
                 .kind = Kind::table,
                 .dimension = Dimension::pressure,
                 .low = ">= 5 kPa abs",
                 .high = "<= 600 kPa abs",
                 .choices = "time|pressure",
                 .example = "{ time = \"0 ms\", pressure = \"95 kPa abs\" }",
                 .doc = "Pressure of the room behind it, likewise; one row is a constant."});
    t.push_back({.name = "transient.throttle_angle",
                 .kind = Kind::table,
                 .dimension = Dimension::angle,
                 .low = ">= 0 deg",
                 .high = "<= 90 deg",
                 .choices = "time|angle",
                 .example = "{ time = \"0, 20 ms\", angle = \"15, 80 deg\" }",
                 .doc = "Plate angle of every throttle, from square to the bore; without it wide "
                        "open."});
    t.push_back({.name = "transient.sine_amplitude",
                 .kind = Kind::quantity,
                 .dimension = Dimension::pressure,
                 .difference = true,
                 .low = "> 0 Pa",
                 .high = "<= 300 kPa",
                 .example = "\"500 Pa\"",
                 .doc = "Amplitude of a sine that is added to the pressure of `sine_at`."});
    t.push_back({.name = "transient.sine_frequency",
                 .kind = Kind::quantity,
                 .dimension = Dimension::frequency,
                 .low = "> 0 Hz",
                 .high = "<= 20 kHz",
                 .example = "\"80 Hz\"",
                 .doc = "Its frequency."});
    t.push_back({.name = "transient.sine_at",
                 .kind = Kind::choice,
                 .choices = "source|room",
                 .fallback = "\"source\"",
                 .example = "\"room\"",
                 .doc = "Where it swings."});
}

void add_start_keys(std::vector<Key>& t) {
    t.push_back({.name = "transient.start",
                 .kind = Kind::choice,
                 .choices = "still|steady",
                 .fallback = "\"still\"",
                 .example = "\"steady\"",
                 .doc = "\"still\": air at rest in all parts; \"steady\": the steady flow of the "
                        "first moment."});
    const auto pressure = [&t](std::string_view name, std::string_view doc) {
        t.push_back({.name = name,
                     .kind = Kind::quantity,
                     .dimension = Dimension::pressure,
                     .low = ">= 1 kPa abs",
                     .high = "<= 2000 kPa abs",
                     .example = "\"200 kPa abs\"",
                     .doc = doc});
    };
    const auto temperature = [&t](std::string_view name, std::string_view doc) {
        t.push_back({.name = name,
                     .kind = Kind::quantity,
                     .dimension = Dimension::temperature,
                     .low = ">= 150 K",
                     .high = "<= 1000 K",
                     .example = "\"300 K\"",
                     .doc = doc});
    };
    pressure("transient.start_pressure", "Of the air at rest; without it the source's.");
    temperature("transient.start_temperature", "Of the air at rest; without it the source's.");
    pressure("transient.plenum_pressure",
             "Of the air at rest in plenum and runners, where another than in the pre-chamber.");
    temperature("transient.plenum_temperature", "The same of its temperature.");
}

void add_response_keys(std::vector<Key>& t) {
    t.push_back({.name = "response.from",
                 .kind = Kind::quantity,
                 .dimension = Dimension::frequency,
                 .low = ">= 0.1 Hz",
                 .high = "<= 20 kHz",
                 .required = true,
                 .example = "\"20 Hz\"",
                 .doc = "Lowest frequency."});
    t.push_back({.name = "response.to",
                 .kind = Kind::quantity,
                 .dimension = Dimension::frequency,
                 .low = ">= 0.1 Hz",
                 .high = "<= 20 kHz",
                 .required = true,
                 .example = "\"600 Hz\"",
                 .doc = "Highest frequency, above `from`."});
    t.push_back({.name = "response.steps",
                 .kind = Kind::integer,
                 .low = ">= 2",
                 .high = "<= 10000",
                 .fallback = "291",
                 .example = "291",
                 .doc = "Frequencies, both ends included, equally far apart."});
    t.push_back({.name = "response.at",
                 .kind = Kind::choice,
                 .choices = "source|room",
                 .fallback = "\"source\"",
                 .example = "\"room\"",
                 .doc = "Where the pressure swings."});
    t.push_back({.name = "response.about",
                 .kind = Kind::choice,
                 .choices = "still|steady",
                 .fallback = "\"still\"",
                 .example = "\"steady\"",
                 .doc = "\"still\": about air at rest; \"steady\": about the steady flow of "
                        "`[bench]`, whose openings take energy from the waves."});
    t.push_back({.name = "response.longest",
                 .kind = Kind::quantity,
                 .dimension = Dimension::time,
                 .low = "> 0 ms",
                 .high = "<= 60 s",
                 .fallback = "\"2 s\"",
                 .example = "\"5 s\"",
                 .doc = "How long the answer to a pulse is followed at most, for rigs that ring "
                        "long."});
}

}  // namespace

void add_unsteady_keys(std::vector<Key>& t) {
    t.push_back({.name = "transient.duration",
                 .kind = Kind::quantity,
                 .dimension = Dimension::time,
                 .low = "> 0 ms",
                 .high = "<= 60 s",
                 .required = true,
                 .example = "\"200 ms\"",
                 .doc = "How long the rig is followed."});
    t.push_back({.name = "transient.samples",
                 .kind = Kind::integer,
                 .low = ">= 1",
                 .high = "<= 100000",
                 .fallback = "200",
                 .example = "400",
                 .doc = "Equal intervals between the times that are written down."});
    add_start_keys(t);
    add_drive_keys(t);
    add_response_keys(t);
}

}  // namespace plenair::file

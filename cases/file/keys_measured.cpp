#include "cases/file/key.hpp"
#include "cases/study/measured.hpp"

/// Keys of the measured file.
namespace plenair::file {
namespace {

void add_gauge_keys(std::vector<Key>& t) {
    t.push_back({.name = "gauge",
                 .kind = Kind::list,
                 .example = "[[gauge]]",
                 .doc = "One dimension found with a gauge; as many as wanted."});
    t.push_back({.name = "gauge.entry",
                 .kind = Kind::choice,
                 .choices = gauged_entries,
                 .required = true,
                 .example = "\"slot.width\"",
                 .doc = "Entry of the case that was gauged; of a runner that narrows, the bore at "
                        "its mouth: all of it to the flange is off by as much."});
    t.push_back({.name = "gauge.bank",
                 .example = "\"left\"",
                 .doc = "Name or number of the bank, in a case of several: one slot and one "
                        "throttle are gauged at a time. Of runners it may be left out: they are "
                        "then all runners, bank by bank."});
    t.push_back({.name = "gauge.x",
                 .kind = Kind::quantities,
                 .dimension = Dimension::length,
                 .low = ">= 0 mm",
                 .high = "<= 20000 mm",
                 .example = "\"26, 65 mm\"",
                 .doc = "Stations of a width, from the inside face of the end wall x = 0, "
                        "as on the machining sheet; without it the nine stations of that "
                        "sheet."});
    t.push_back({.name = "gauge.value",
                 .kind = Kind::quantities,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 20000 mm",
                 .example = "\"6.02, 6.01 mm\"",
                 .doc = "What was found: one, one a station, or one a runner."});
    t.push_back({.name = "gauge.file",
                 .example = "\"widths.csv\"",
                 .doc = "CSV file, beside this one, with the stations in a column each row."});
    t.push_back({.name = "gauge.separator",
                 .kind = Kind::choice,
                 .choices = "comma|semicolon|tab",
                 .fallback = "\"comma\"",
                 .example = "\"semicolon\"",
                 .doc = "Between columns of that file."});
    t.push_back({.name = "gauge.columns",
                 .kind = Kind::choices,
                 .choices = "<column>",
                 .example = "[\"x | mm\", \"width | mm\"]",
                 .doc = "Of that file: the column of x and the column of the value, each with its "
                        "unit behind a bar."});
    t.push_back({.name = "gauge.instrument",
                 .kind = Kind::choice,
                 .choices = "pin gauge|micrometer|bore gauge|calliper|radius gauge|rule",
                 .example = "\"pin gauge\"",
                 .doc = "Gives the uncertainty where none is stated: pin gauge, micrometer, bore "
                        "gauge 0.01 mm, calliper 0.05 mm, radius gauge 0.1 mm, rule 0.5 mm."});
    t.push_back({.name = "gauge.uncertainty",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 10 mm",
                 .example = "\"0.01 mm\"",
                 .doc = "Of one value, 95 %."});
}

void add_bench_air_keys(std::vector<Key>& t) {
    t.push_back({.name = "bench.temperature",
                 .kind = Kind::quantity,
                 .dimension = Dimension::temperature,
                 .low = ">= 200 K",
                 .high = "<= 450 K",
                 .usual_low = "270 K",
                 .usual_high = "320 K",
                 .example = "\"20 degC\"",
                 .doc = "Room air before the part."});
    t.push_back({.name = "bench.barometer",
                 .kind = Kind::quantity,
                 .dimension = Dimension::pressure,
                 .low = ">= 50 kPa abs",
                 .high = "<= 120 kPa abs",
                 .example = "\"101.3 kPa abs\"",
                 .doc = "Pressure of the room, at the bench and not reduced to sea level."});
    t.push_back({.name = "bench.humidity",
                 .kind = Kind::quantity,
                 .low = ">= 0 %",
                 .high = "<= 100 %",
                 .fallback = "\"0 %\"",
                 .example = "\"40 %\"",
                 .doc = "Relative humidity of the room."});
    t.push_back({.name = "bench.density",
                 .kind = Kind::quantity,
                 .dimension = Dimension::density,
                 .low = ">= 0.5 kg/m3",
                 .high = "<= 2 kg/m3",
                 .example = "\"1.204 kg/m3\"",
                 .doc = "Density to which a volume flow refers; without it that of the room air."});
}

void add_bench_station_keys(std::vector<Key>& t) {
    t.push_back({.name = "bench.stations",
                 .kind = Kind::quantities,
                 .dimension = Dimension::length,
                 .low = ">= 0 mm",
                 .high = "<= 20000 mm",
                 .example = "\"40, 120, 200 mm\"",
                 .doc =
                     "Where along the slot, or at which of its holes, the flow was read too, from "
                     "the inside face of the end wall x = 0; with `set_up = \"slot\"`."});
    t.push_back(
        {.name = "bench.station_flows",
         .kind = Kind::numbers,
         .low = "> 0",
         .high = "<= 100000",
         .example = "[0.96, 1.01, 1.03]",
         .doc = "Flow or velocity there, as of a probe: in any one unit, for only the ratio to "
                "their mean counts."});
    t.push_back({.name = "bench.station_uncertainty",
                 .kind = Kind::quantity,
                 .low = ">= 0.1 %",
                 .high = "<= 50 %",
                 .example = "\"2 %\"",
                 .doc = "Of one of them, 95 %, in parts of their mean; without it 2 %."});
    t.push_back({.name = "bench.taps",
                 .kind = Kind::quantities,
                 .dimension = Dimension::length,
                 .low = ">= 0 mm",
                 .high = "<= 20000 mm",
                 .example = "\"20, 200 mm\"",
                 .doc =
                     "Pressure taps along the pre-chamber, or the plenum where there is none, from "
                     "the inside face of the end wall x = 0."});
    t.push_back({.name = "bench.tap_pressures",
                 .kind = Kind::quantities,
                 .dimension = Dimension::pressure,
                 .difference = true,
                 .low = ">= -60 kPa",
                 .high = "<= 60 kPa",
                 .example = "\"310, 250 Pa\"",
                 .doc =
                     "Static pressure there, below that of the room air before the part; negative "
                     "where it is above."});
    t.push_back({.name = "bench.tap_uncertainty",
                 .kind = Kind::quantity,
                 .dimension = Dimension::pressure,
                 .difference = true,
                 .low = "> 0 Pa",
                 .high = "<= 10 kPa",
                 .example = "\"5 Pa\"",
                 .doc = "Of one of them, 95 %; without it 1 % of the depression."});
}

void add_bench_reading_keys(std::vector<Key>& t) {
    t.push_back({.name = "bench",
                 .kind = Kind::list,
                 .example = "[[bench]]",
                 .doc = "One reading of the flow bench; as many as wanted."});
    t.push_back({.name = "bench.name",
                 .example = "\"insert, third run\"",
                 .doc = "Name for reports; without it the set-up."});
    t.push_back({.name = "bench.set_up",
                 .kind = Kind::choice,
                 .choices = "slot|runner|all",
                 .required = true,
                 .example = "\"slot\"",
                 .doc = "What was open: the slot insert alone, one runner, all runners together."});
    t.push_back({.name = "bench.bank",
                 .example = "\"left\"",
                 .doc = "Name or number of the bank that stood on the bench, in a case of "
                        "several."});
    t.push_back({.name = "bench.runner",
                 .kind = Kind::integer,
                 .low = ">= 1",
                 .high = "<= 24",
                 .example = "3",
                 .doc = "The runner that was open, by the number of its cylinder, as `plenair "
                        "bench` calls it; of a rig its place in `runner.x`, from 1."});
    t.push_back({.name = "bench.depression",
                 .kind = Kind::quantity,
                 .dimension = Dimension::pressure,
                 .difference = true,
                 .low = ">= 1 Pa",
                 .high = "<= 60 kPa",
                 .required = true,
                 .example = "\"28 inH2O\"",
                 .doc = "Pressure difference over the part."});
    t.push_back({.name = "bench.flow",
                 .dimension = Dimension::mass_flow,
                 .low = ">= 0.001 g/s",
                 .high = "<= 10 kg/s",
                 .example = "\"431 CFM\"",
                 .doc = "Flow as read: g/s, kg/h, lb/min, or CFM and m3/h, which need temperature "
                        "and barometer, or a density."});
    t.push_back({.name = "bench.leakage",
                 .example = "\"0.6 %\"",
                 .doc = "Flow with the part blocked: in % of the reading, or in its unit. It is "
                        "taken off; above 3 % the set-up is doubted."});
    t.push_back({.name = "bench.orifice_diameter",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 1000 mm",
                 .example = "\"60 mm\"",
                 .doc = "Instead of a flow: bore of the bench's metering orifice, from a large "
                        "chamber."});
    t.push_back({.name = "bench.orifice_cd",
                 .kind = Kind::number,
                 .low = "> 0",
                 .high = "<= 1",
                 .example = "0.61",
                 .doc = "Its discharge coefficient."});
    t.push_back({.name = "bench.orifice_drop",
                 .kind = Kind::quantity,
                 .dimension = Dimension::pressure,
                 .difference = true,
                 .low = ">= 1 Pa",
                 .high = "<= 60 kPa",
                 .example = "\"1.2 kPa\"",
                 .doc = "Pressure difference over it."});
    t.push_back({.name = "bench.uncertainty",
                 .kind = Kind::quantity,
                 .low = ">= 0.1 %",
                 .high = "<= 20 %",
                 .example = "\"1 %\"",
                 .doc = "Of the flow, 95 %; without it 1.5 %."});
    add_bench_station_keys(t);
    add_bench_air_keys(t);
}

void add_engine_air_keys(std::vector<Key>& t) {
    t.push_back({.name = "engine.trims",
                 .kind = Kind::quantities,
                 .low = ">= -50 %",
                 .high = "<= 50 %",
                 .example = "\"0, 0, 2, -1 %\"",
                 .doc = "Trims that were active, by cylinder; + is more fuel. Without it none."});
    t.push_back({.name = "engine.air_flow",
                 .kind = Kind::quantity,
                 .dimension = Dimension::mass_flow,
                 .low = "> 0 g/s",
                 .high = "<= 10 kg/s",
                 .example = "\"350 g/s\"",
                 .doc = "Air of the whole engine."});
    t.push_back({.name = "engine.air_flow_uncertainty",
                 .kind = Kind::quantity,
                 .low = ">= 0.1 %",
                 .high = "<= 20 %",
                 .example = "\"2 %\"",
                 .doc = "95 %; without it 2 %."});
    t.push_back({.name = "engine.plenum_pressure",
                 .kind = Kind::quantity,
                 .dimension = Dimension::pressure,
                 .low = ">= 10 kPa abs",
                 .high = "<= 600 kPa abs",
                 .example = "\"238 kPa abs\"",
                 .doc = "Mean pressure in the plenum."});
    t.push_back({.name = "engine.tap",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = ">= 0 mm",
                 .high = "<= 20000 mm",
                 .example = "\"200 mm\"",
                 .doc =
                     "Where the pressure tap is, from the inside face of the end wall x = 0, and "
                     "not in a bell mouth; without it the mean along the plenum. `fit` prints "
                     "where the cylinders are most alike."});
    t.push_back({.name = "engine.tap_bank",
                 .example = "\"left\"",
                 .doc = "Name or number of the bank whose plenum has the tap, in a case of "
                        "several."});
    t.push_back({.name = "engine.pressure_uncertainty",
                 .kind = Kind::quantity,
                 .low = ">= 0.05 %",
                 .high = "<= 10 %",
                 .example = "\"0.5 %\"",
                 .doc = "95 %; without it 0.5 %."});
}

void add_exhaust_reading_keys(std::vector<Key>& t) {
    t.push_back({.name = "engine.exhaust_temperature",
                 .kind = Kind::quantities,
                 .dimension = Dimension::temperature,
                 .low = ">= 400 K",
                 .high = "<= 1500 K",
                 .example = "\"905, 903, 921, 893 degC\"",
                 .doc = "By cylinder; weak evidence, for it falls again on the lean side of its "
                        "peak."});
    t.push_back({.name = "engine.temperature_uncertainty",
                 .kind = Kind::number,
                 .low = "> 0",
                 .high = "<= 200",
                 .example = "6",
                 .doc = "In kelvin, 95 %; without it 10."});
    t.push_back({.name = "engine.probe_distance",
                 .kind = Kind::quantities,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 2000 mm",
                 .usual_low = "25 mm",
                 .usual_high = "75 mm",
                 .example = "\"40 mm\"",
                 .doc = "Of the temperature probes from the flange: one for all, or by cylinder. "
                        "Unequal ones are not compared."});
}

void add_engine_keys_measured(std::vector<Key>& t) {
    t.push_back({.name = "engine",
                 .kind = Kind::list,
                 .example = "[[engine]]",
                 .doc = "Readings at one steady point of the engine; as many as wanted."});
    t.push_back(
        {.name = "engine.point",
         .required = true,
         .example = "\"A4\"",
         .doc = "Name of the point in the case. Once, or again with another `sensor_order`."});
    t.push_back({.name = "engine.cylinders",
                 .kind = Kind::integers,
                 .low = ">= 1",
                 .high = "<= 24",
                 .example = "[1, 2, 3, 4]",
                 .doc = "Cylinders in the order of the lists below; without it all, from 1."});
    t.push_back({.name = "engine.lambda",
                 .kind = Kind::numbers,
                 .low = ">= 0.4",
                 .high = "<= 2",
                 .usual_low = "0.6",
                 .usual_high = "1.3",
                 .example = "[0.806, 0.803, 0.822, 0.792]",
                 .doc = "Lambda of each cylinder."});
    t.push_back({.name = "engine.air_fuel_ratio",
                 .kind = Kind::numbers,
                 .low = ">= 1",
                 .high = "<= 50",
                 .example = "[7.9, 7.87, 8.06, 7.76]",
                 .doc = "Air over fuel by mass instead of lambda; with the case's `fuel.stoich`."});
    t.push_back({.name = "engine.lambda_uncertainty",
                 .kind = Kind::number,
                 .low = ">= 0.001",
                 .high = "<= 0.2",
                 .example = "0.004",
                 .doc = "Of one lambda, 95 %; without it 0.01."});
    t.push_back({.name = "engine.sensor",
                 .kind = Kind::choice,
                 .choices = "runner|collector|before turbine",
                 .fallback = "\"runner\"",
                 .example = "\"before turbine\"",
                 .doc = "Place of the lambda sensors: each in its exhaust runner, in a collector, "
                        "or before a turbine."});
    t.push_back({.name = "engine.sensor_order",
                 .kind = Kind::integers,
                 .low = ">= 1",
                 .high = "<= 24",
                 .example = "[2, 1, 3, 4]",
                 .doc =
                     "Which lambda sensor stood at each cylinder, by the cylinder where it is at "
                     "home: `[2, 1, 3, 4]` has those of cylinders 1 and 2 exchanged. A point "
                     "read again with sensors exchanged tells a sensor from an injector. "
                     "Without it each at its own."});
    t.push_back({.name = "engine.compensated",
                 .kind = Kind::flag,
                 .fallback = "\"on\"",
                 .example = "\"off\"",
                 .doc = "Whether the readings are compensated for exhaust pressure; before a "
                        "turbine an uncompensated sensor reads farther from 1."});
    add_exhaust_reading_keys(t);
    add_engine_air_keys(t);
}

void add_log_keys(std::vector<Key>& t) {
    t.push_back({.name = "log",
                 .kind = Kind::list,
                 .example = "[[log]]",
                 .doc = "A logger's CSV file: its steady parts become engine readings."});
    t.push_back({.name = "log.file",
                 .required = true,
                 .example = "\"run-3.csv\"",
                 .doc = "CSV with a line of column names, beside this file."});
    t.push_back({.name = "log.separator",
                 .kind = Kind::choice,
                 .choices = "comma|semicolon|tab",
                 .fallback = "\"comma\"",
                 .example = "\"semicolon\"",
                 .doc = "Between columns."});
    t.push_back({.name = "log.time",
                 .required = true,
                 .example = "\"Time | s\"",
                 .doc = "Column of the time, and behind a bar its unit."});
    t.push_back({.name = "log.speed",
                 .dimension = Dimension::speed,
                 .low = ">= 0 rpm",
                 .high = "<= 30000 rpm",
                 .required = true,
                 .example = "\"Engine speed | rpm\"",
                 .doc = "Column of the crank speed and its unit."});
    t.push_back({.name = "log.pressure",
                 .dimension = Dimension::pressure,
                 .high = "<= 600 kPa abs",
                 .example = "\"Before throttle | kPa abs\"",
                 .doc = "Column of the pressure before the throttle; tells points of one speed "
                        "apart."});
    t.push_back({.name = "log.lambda",
                 .kind = Kind::choices,
                 .choices = "<column>",
                 .required = true,
                 .example = "[\"Lambda 1\", \"Lambda 2\"]",
                 .doc = "Columns of lambda, one a cylinder."});
    t.push_back({.name = "log.cylinders",
                 .kind = Kind::integers,
                 .low = ">= 1",
                 .high = "<= 24",
                 .example = "[2, 5]",
                 .doc = "Cylinders of these columns; without it all, from 1."});
    t.push_back({.name = "log.bank",
                 .example = "\"left\"",
                 .doc = "Name or number of the bank, in a case of several, whose cylinders these "
                        "columns are in their order, instead of `cylinders`. Two loggers of one "
                        "run are two `[[log]]`: their readings at a point become one."});
    t.push_back({.name = "log.sensor_order",
                 .kind = Kind::integers,
                 .low = ">= 1",
                 .high = "<= 24",
                 .example = "[2, 1, 3, 4]",
                 .doc = "Which lambda sensor stood at each of these cylinders, as in "
                        "`engine.sensor_order`. A log of the same points with sensors exchanged is "
                        "a reading of its own."});
    t.push_back({.name = "log.exhaust_temperature",
                 .kind = Kind::choices,
                 .choices = "<column>",
                 .example = "[\"EGT 1 | degC\", \"EGT 2 | degC\"]",
                 .doc = "Columns of exhaust temperature, one a cylinder, each with its unit."});
    t.push_back({.name = "log.steady_time",
                 .kind = Kind::quantity,
                 .dimension = Dimension::time,
                 .low = ">= 0.2 s",
                 .high = "<= 600 s",
                 .fallback = "\"2 s\"",
                 .example = "\"3 s\"",
                 .doc = "Speed and pressure within 1 % for at least so long is a steady part."});
    t.push_back({.name = "log.lambda_uncertainty",
                 .kind = Kind::number,
                 .low = ">= 0.001",
                 .high = "<= 0.2",
                 .example = "0.004",
                 .doc = "Of a mean lambda apart from its scatter, 95 %; without it 0.01."});
}

}  // namespace

void add_measured_keys(std::vector<Key>& t) {
    t.push_back({.name = "format",
                 .kind = Kind::integer,
                 .required = true,
                 .example = "1",
                 .doc = "Version of this format: 1."});
    t.push_back({.name = "measured.title",
                 .example = "\"Insert 2, first run\"",
                 .doc = "Heading for reports."});
    t.push_back({.name = "measured.made_up",
                 .kind = Kind::flag,
                 .fallback = "\"off\"",
                 .example = "\"on\"",
                 .doc = "Whether the numbers are an example and were read from no metal."});
    t.push_back({.name = "measured.notes", .example = "\"...\"", .doc = "Free text."});
    add_gauge_keys(t);
    add_bench_reading_keys(t);
    t.push_back({.name = "injectors.flow",
                 .kind = Kind::numbers,
                 .low = "> 0",
                 .high = "<= 100000",
                 .example = "[1.00, 1.01, 0.97, 1.02]",
                 .doc = "Flow of each cylinder's injectors, from a flow-match sheet: in any one "
                        "unit, for only the ratio to their mean counts."});
    t.push_back({.name = "injectors.uncertainty",
                 .kind = Kind::quantity,
                 .low = ">= 0.1 %",
                 .high = "<= 20 %",
                 .example = "\"1 %\"",
                 .doc = "Of one injector's flow, 95 %; without it 1 %."});
    add_engine_keys_measured(t);
    add_log_keys(t);
}

const std::vector<SectionDoc>& measured_section_docs() {
    static const std::vector<SectionDoc> docs = {
        {"measured", "What the file is about."},
        {"gauge", "Dimensions found with a gauge."},
        {"bench", "Readings of the flow bench."},
        {"injectors", "Flow-match sheet of the injectors."},
        {"engine", "Readings of the engine at steady points."},
        {"log", "Logger's files."}};
    return docs;
}

}  // namespace plenair::file

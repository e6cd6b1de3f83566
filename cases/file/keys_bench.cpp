#include "cases/file/key.hpp"

namespace plenair::file {
namespace {

void add_head_keys(std::vector<Key>& t) {
    t.push_back({.name = "bench.lifts",
                 .kind = Kind::quantities,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 50 mm",
                 .example = "\"2, 4, 6, 8, 10 mm\"",
                 .doc = "Lifts at which the set-up \"valve\" holds the intake valves. A rig states "
                        "the valve in `[valve.intake]`."});
    t.push_back({.name = "bench.head",
                 .kind = Kind::choice,
                 .choices = "port|runner|intake",
                 .fallback = "\"runner\"",
                 .example = "\"port\"",
                 .doc =
                     "What stands before the valve in the set-up \"valve\": the port alone behind "
                     "an entry without loss (a radiused plate or clay, common practice), the "
                     "runner with its own mouth and the port, or the whole intake with the "
                     "other runners shut."});
}

}  // namespace

void add_bench_keys(std::vector<Key>& t) {
    t.push_back({.name = "bench.set_ups",
                 .kind = Kind::choices,
                 .choices = "slot|runners|all|valve",
                 .example = "[\"slot\", \"runners\", \"all\"]",
                 .doc =
                     "What is put on the bench: the slot insert alone, each runner alone, all "
                     "runners open together, the head of each cylinder with its valves held "
                     "at `lifts`; without it all that the parts allow, and \"valve\" where lifts "
                     "are given."});
    add_head_keys(t);
    t.push_back({.name = "bench.depression",
                 .kind = Kind::quantity,
                 .dimension = Dimension::pressure,
                 .difference = true,
                 .low = "> 0 Pa",
                 .high = "<= 60 kPa",
                 .fallback = "\"28 inH2O\"",
                 .example = "\"28 inH2O\"",
                 .doc = "Pressure difference across the set-up."});
    t.push_back({.name = "bench.blower",
                 .kind = Kind::choice,
                 .choices = "draws|blows",
                 .fallback = "\"draws\"",
                 .example = "\"blows\"",
                 .doc = "\"draws\": air enters at `pressure` and leaves at `depression` below it; "
                        "\"blows\": it enters at `depression` above it and leaves at `pressure`."});
    t.push_back({.name = "bench.direction",
                 .kind = Kind::choice,
                 .choices = "out|in",
                 .fallback = "\"out\"",
                 .example = "\"in\"",
                 .doc = "Rig: \"out\": from the feed through slot and runners into the room; "
                        "\"in\": from the room through slot and runners, and out where `feed` says "
                        "\"open\"."});
    t.push_back({.name = "bench.throttle_angle",
                 .kind = Kind::quantity,
                 .dimension = Dimension::angle,
                 .low = ">= 0 deg",
                 .high = "<= 90 deg",
                 .example = "\"30 deg\"",
                 .doc = "Plate angle from square to the bore; without it wide open."});
    t.push_back({.name = "bench.pressure",
                 .kind = Kind::quantity,
                 .dimension = Dimension::pressure,
                 .low = ">= 10 kPa abs",
                 .high = "<= 600 kPa abs",
                 .example = "\"101.325 kPa abs\"",
                 .doc = "Total pressure of the air that enters, with `blower = \"blows\"` that of "
                        "the room it leaves into; without it `source.pressure`."});
    t.push_back({.name = "bench.temperature",
                 .kind = Kind::quantity,
                 .dimension = Dimension::temperature,
                 .low = ">= 200 K",
                 .high = "<= 450 K",
                 .example = "\"20 degC\"",
                 .doc = "Its total temperature; without it `source.temperature`."});
}

}  // namespace plenair::file

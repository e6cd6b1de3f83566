#include "cases/file/key.hpp"

namespace plenair::file {
namespace {

void add_case_keys(std::vector<Key>& t) {
    t.push_back({.name = "format",
                 .kind = Kind::integer,
                 .required = true,
                 .example = "1",
                 .doc = "Version of the case file format; this one is 1."});
    t.push_back({.name = "case.title",
                 .example = "\"Hill-climb four\"",
                 .doc = "Title of the case; stands on every result."});
    t.push_back({.name = "case.notes",
                 .example = "\"slot as drawn, revision C\"",
                 .doc = "Free text, kept with the results."});
    t.push_back({.name = "case.units",
                 .kind = Kind::choice,
                 .choices = "mm|inch",
                 .example = "\"inch\"",
                 .doc = "In which unit people read lengths, areas and volumes in results, drawings "
                        "and messages; changes no number. Without it the one that most lengths and "
                        "areas of this file are written in. `--units` overrides it."});
    t.push_back({.name = "site.barometer",
                 .kind = Kind::quantity,
                 .dimension = Dimension::pressure,
                 .low = ">= 40 kPa abs",
                 .high = "<= 110 kPa abs",
                 .fallback = "\"101.325 kPa abs\"",
                 .example = "\"93.9 kPa abs\"",
                 .doc = "Station pressure of the air outside, not reduced to sea level; needed "
                        "wherever a pressure is stated as gauge (g)."});
    t.push_back({.name = "site.temperature",
                 .kind = Kind::quantity,
                 .dimension = Dimension::temperature,
                 .low = ">= 220 K",
                 .high = "<= 340 K",
                 .fallback = "\"20 degC\"",
                 .example = "\"18 degC\"",
                 .doc = "Temperature of the air outside; with `site.humidity` it gives the water "
                        "content of the charge."});
    t.push_back({.name = "site.humidity",
                 .kind = Kind::quantity,
                 .low = ">= 0 %",
                 .high = "<= 100 %",
                 .fallback = "\"0 %\"",
                 .example = "\"40 %\"",
                 .doc = "Relative humidity of the air outside."});
}

void add_assumed_keys(std::vector<Key>& t) {
    t.push_back({.name = "assumed.basis",
                 .example = "\"common practice\"",
                 .doc = "Of each entry named there: on what its value rests."});
    t.push_back({.name = "assumed.within",
                 .example = "\"10 %\"",
                 .doc = "Of each entry named there: half width of its 95 % band, as a part of the "
                        "value or in its units (angles of events always so); it goes into the "
                        "bands of `solve`, `bench` and `compare`."});
}

void add_lift_keys(std::vector<Key>& t, bool intake) {
    const auto name = [intake](std::string_view i, std::string_view e) { return intake ? i : e; };
    t.push_back({.name = name("valve.intake.lift", "valve.exhaust.lift"),
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 50 mm",
                 .required = true,
                 .of_engine = true,
                 .example = name("\"10.8 mm\"", "\"10.2 mm\""),
                 .doc = "Largest lift."});
    t.push_back({.name = name("valve.intake.checking_lift", "valve.exhaust.checking_lift"),
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = ">= 0 mm",
                 .high = "<= 2 mm",
                 .fallback = "\"0.10 mm\"",
                 .example = "\"0.10 mm\"",
                 .doc =
                     "Lift at which `opens` and `closes` are stated, as the cam card says it: 0.1 "
                     "mm, 1 mm, 0.050 in. Events at 1.0 mm entered as seat events are 30 to 40 deg "
                     "wrong; without this entry a warning says what that would change. `check` "
                     "prints the card at 0.1, 1.0 and 1.27 mm."});
    t.push_back({.name = name("valve.intake.opens", "valve.exhaust.opens"),
                 .kind = Kind::quantity,
                 .dimension = intake ? Dimension::intake_event : Dimension::exhaust_event,
                 .required = true,
                 .of_engine = true,
                 .example = name("\"28 deg BTDC\"", "\"66 deg BBDC\""),
                 .doc = "Opening at the checking lift. TDC is the gas exchange one."});
    t.push_back({.name = name("valve.intake.closes", "valve.exhaust.closes"),
                 .kind = Kind::quantity,
                 .dimension = intake ? Dimension::intake_event : Dimension::exhaust_event,
                 .required = true,
                 .of_engine = true,
                 .example = name("\"64 deg ABDC\"", "\"24 deg ATDC\""),
                 .doc = "Closing at the checking lift."});
    t.push_back({.name = name("valve.intake.cd", "valve.exhaust.cd"),
                 .kind = Kind::table,
                 .low = "> 0",
                 .high = "<= 1",
                 .choices = "lift_over_diameter|cd",
                 .required = true,
                 .example = "{ lift_over_diameter = [0.05, 0.15, 0.30], cd = [0.67, 0.62, 0.44] }",
                 .doc = "Discharge coefficient against L/D, on the curtain area pi D L of one "
                        "valve, stagnation pressure before to static pressure behind."});
    t.push_back({.name = name("valve.intake.lift_curve", "valve.exhaust.lift_curve"),
                 .kind = Kind::table,
                 .choices = "angle|lift",
                 .example = "{ angle = \"0, 60, 120 deg\", lift = \"0, 8, 0 mm\" }",
                 .doc = "Measured lift against crank angle after opening; without it a smooth "
                        "polynomial between the events."});
}

void add_valve_keys(std::vector<Key>& t, bool intake) {
    const auto name = [intake](std::string_view i, std::string_view e) { return intake ? i : e; };
    t.push_back({.name = name("valve.intake.count", "valve.exhaust.count"),
                 .kind = Kind::integer,
                 .low = ">= 1",
                 .high = "<= 4",
                 .fallback = "1",
                 .example = "2",
                 .doc = "Valves of this kind in one cylinder."});
    t.push_back({.name = name("valve.intake.head", "valve.exhaust.head"),
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 200 mm",
                 .required = true,
                 .example = name("\"35.5 mm\"", "\"30.5 mm\""),
                 .doc = "Head diameter; lift over this diameter is L/D."});
    t.push_back({.name = name("valve.intake.seat_width", "valve.exhaust.seat_width"),
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 10 mm",
                 .required = true,
                 .example = name("\"1.4 mm\"", "\"1.5 mm\""),
                 .doc = "Width of the seat, measured along the seat."});
    t.push_back({.name = name("valve.intake.seat_angle", "valve.exhaust.seat_angle"),
                 .kind = Kind::quantity,
                 .dimension = Dimension::angle,
                 .low = ">= 0 deg",
                 .high = "<= 75 deg",
                 .fallback = "\"45 deg\"",
                 .example = "\"45 deg\"",
                 .doc = "Angle between the seat and the plane of the head."});
    t.push_back({.name = name("valve.intake.throat", "valve.exhaust.throat"),
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 200 mm",
                 .required = true,
                 .example = name("\"30.8 mm\"", "\"26.4 mm\""),
                 .doc = "Diameter of the port at the seat."});
    t.push_back({.name = name("valve.intake.stem", "valve.exhaust.stem"),
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 30 mm",
                 .required = true,
                 .example = "\"5.5 mm\"",
                 .doc = "Stem diameter."});
    add_lift_keys(t, intake);
}

void add_crank_keys(std::vector<Key>& t) {
    t.push_back({.name = "engine.bore",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 1000 mm",
                 .usual_low = "40 mm",
                 .usual_high = "200 mm",
                 .required = true,
                 .example = "\"87.4 mm\"",
                 .doc = "Cylinder bore."});
    t.push_back({.name = "engine.stroke",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 2000 mm",
                 .usual_low = "30 mm",
                 .usual_high = "250 mm",
                 .required = true,
                 .example = "\"74.6 mm\"",
                 .doc = "Stroke."});
    t.push_back({.name = "engine.rod",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 5000 mm",
                 .required = true,
                 .example = "\"138.0 mm\"",
                 .doc = "Connecting rod, centre to centre."});
    t.push_back({.name = "engine.compression_ratio",
                 .kind = Kind::number,
                 .low = "> 1",
                 .high = "<= 30",
                 .usual_low = "7",
                 .usual_high = "16",
                 .required = true,
                 .example = "9.2",
                 .doc = "Geometric compression ratio."});
    t.push_back({.name = "engine.pitch",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 2000 mm",
                 .example = "\"97.0 mm\"",
                 .doc = "Cylinder pitch."});
    t.push_back({.name = "engine.max_speed",
                 .kind = Kind::quantity,
                 .dimension = Dimension::speed,
                 .low = "> 0 rpm",
                 .high = "<= 25000 rpm",
                 .example = "\"8900 rpm\"",
                 .doc = "Highest speed; a point above it is warned of."});
    t.push_back({.name = "engine.exhaust_port",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = ">= 0 mm",
                 .high = "<= 300 mm",
                 .usual_high = "100 mm",
                 .fallback = "\"65 mm\"",
                 .example = "\"65 mm\"",
                 .doc = "Length of the exhaust port: the exhaust flow follows the pressures within "
                        "the time that a wave needs through it; 0 mm: at once. Band 0 to 100 mm, "
                        "worth 1.5 % of total air and 0.2 % of bias."});
    t.push_back(
        {.name = "engine.port_scatter",
         .kind = Kind::quantity,
         .low = ">= 0 %",
         .high = "<= 20 %",
         .fallback = "\"1 %\"",
         .example = "\"2 %\"",
         .doc = "How far the effective areas of ports and valves lie apart from cylinder to "
                "cylinder (95 % of them within this of the mean); a part of every band. Flowed "
                "and matched heads 1 %, castings 2 to 3 % (common practice)."});
    add_valve_keys(t, true);
    add_valve_keys(t, false);
}

}  // namespace

void add_engine_keys(std::vector<Key>& t) {
    add_case_keys(t);
    add_assumed_keys(t);
    t.push_back({.name = "engine.firing_order",
                 .kind = Kind::integers,
                 .low = ">= 1",
                 .high = "<= 16",
                 .required = true,
                 .example = "[1, 3, 4, 2]",
                 .doc = "Cylinder numbers in firing order; each number once. For "
                        "one bank of a V engine list that bank's cylinders."});
    t.push_back({.name = "engine.firing_angles",
                 .kind = Kind::quantities,
                 .dimension = Dimension::angle,
                 .low = ">= 0 deg",
                 .high = "< 720 deg",
                 .example = "\"0, 180, 360, 540 deg\"",
                 .doc =
                     "Crank angle of each firing, in firing order; without it evenly spaced over "
                     "720 deg."});
    add_crank_keys(t);
}

}  // namespace plenair::file

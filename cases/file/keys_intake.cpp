#include "cases/file/key.hpp"

namespace plenair::file {
namespace {

void add_feed_keys(std::vector<Key>& t) {
    t.push_back({.name = "throttle.feeds",
                 .kind = Kind::choice,
                 .choices = "pre_chamber|plenum",
                 .example = "\"pre_chamber\"",
                 .doc = "What the throttle opens into; without it the pre-chamber where there is "
                        "one, else the plenum."});
    t.push_back({.name = "throttle.position",
                 .kind = Kind::choice,
                 .choices = "end|start|far|side",
                 .fallback = "\"end\"",
                 .example = "\"end\"",
                 .doc = "Where it enters: \"end\" (also \"start\") the end wall x = 0, in line "
                        "with the chamber; \"far\" the other end wall; "
                        "\"side\" through the side wall at `x`, bringing no axial momentum."});
    t.push_back({.name = "throttle.x",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = ">= 0 mm",
                 .high = "<= 20000 mm",
                 .example = "\"165 mm\"",
                 .doc = "Centre of a side feed along the chamber, from the wall x = 0."});
}

void add_throttle_keys(std::vector<Key>& t) {
    t.push_back({.name = "throttle.bore",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 300 mm",
                 .usual_low = "15 mm",
                 .usual_high = "150 mm",
                 .required = true,
                 .example = "\"68 mm\"",
                 .doc = "Throttle bore."});
    t.push_back({.name = "throttle.shaft",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = ">= 0 mm",
                 .high = "<= 50 mm",
                 .required = true,
                 .example = "\"10 mm\"",
                 .doc = "Shaft diameter; it blocks part of the bore. 0 mm: no shaft."});
    t.push_back({.name = "throttle.closed_angle",
                 .kind = Kind::quantity,
                 .dimension = Dimension::angle,
                 .low = ">= 0 deg",
                 .high = "<= 30 deg",
                 .fallback = "\"8 deg\"",
                 .example = "\"8 deg\"",
                 .doc = "Plate angle at the closed stop, from square to the bore."});
    t.push_back({.name = "throttle.cd",
                 .kind = Kind::number,
                 .low = "> 0",
                 .high = "<= 1",
                 .usual_low = "0.7",
                 .usual_high = "1",
                 .fallback = "0.95",
                 .example = "0.95",
                 .doc = "Discharge coefficient, on the area that `cd_area` names."});
    t.push_back({.name = "throttle.cd_area",
                 .kind = Kind::choice,
                 .choices = "open|bore",
                 .fallback = "\"open\"",
                 .example = "\"open\"",
                 .doc = "Area the coefficient refers to: the open area beside shaft and plate, or "
                        "the whole bore. Required wherever a coefficient is given."});
    t.push_back({.name = "throttle.cd_table",
                 .kind = Kind::table,
                 .low = "> 0",
                 .high = "<= 1",
                 .choices = "angle|cd",
                 .example = "{ angle = \"10, 40, 85 deg\", cd = [0.80, 0.88, 0.95] }",
                 .doc = "Discharge coefficient against plate angle; takes the place of `cd`."});
    t.push_back({.name = "throttle.recovery",
                 .kind = Kind::number,
                 .low = ">= 0",
                 .high = "<= 0.95",
                 .usual_high = "0.85",
                 .fallback = "0",
                 .example = "0.80",
                 .doc = "A restrictor: static pressure that the diffuser behind the smallest "
                        "section gives back, over the velocity head in it. Conical diffuser: "
                        "1 - 1/n^2 - loss, n its area ratio; 0.75 to 0.85 with 7 to 10 deg of "
                        "full angle and n of 4 and more. No jet leaves it then."});
    add_feed_keys(t);
}

void add_wall_keys(std::vector<Key>& t, bool plenum) {
    const auto name = [plenum](std::string_view pre, std::string_view p) {
        return plenum ? p : pre;
    };
    t.push_back({.name = name("pre_chamber.height", "plenum.height"),
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 1000 mm",
                 .example = "\"52 mm\"",
                 .doc = "Height of the wall that carries the slot; a slot cannot be wider."});
    t.push_back({.name = name("pre_chamber.perimeter", "plenum.perimeter"),
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 10000 mm",
                 .example = "\"224 mm\"",
                 .doc = "Wetted perimeter; without it that of a circle of equal area."});
    t.push_back({.name = name("pre_chamber.roughness", "plenum.roughness"),
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = ">= 0 um",
                 .high = "<= 2 mm",
                 .example = "\"3.2 um\"",
                 .doc = "Wall roughness; without it what `model.friction` says."});
    t.push_back({.name = name("pre_chamber.wall_temperature", "plenum.wall_temperature"),
                 .kind = Kind::quantity,
                 .dimension = Dimension::temperature,
                 .low = ">= 200 K",
                 .high = "<= 700 K",
                 .example = "\"325 K\"",
                 .doc = "Wall temperature; without it no heat passes the wall."});
    t.push_back({.name = name("pre_chamber.feed", "plenum.feed"),
                 .kind = Kind::choice,
                 .choices = "open|open far",
                 .example = "\"open\"",
                 .doc =
                     "Rig without throttle: the source stands at the open end x = 0 (\"open\") or "
                     "at the other one (\"open far\")."});
    t.push_back({.name = name("pre_chamber.outlet_loss", "plenum.outlet_loss"),
                 .kind = Kind::number,
                 .low = ">= 1",
                 .high = "<= 10000",
                 .example = "1.0",
                 .doc = "Rig: the end that is not fed leads into the room: loss coefficient of all "
                        "that follows there on the header's velocity head, exit head included. "
                        "Without it a wall."});
}

void add_chamber_keys(std::vector<Key>& t, bool plenum) {
    const auto name = [plenum](std::string_view pre, std::string_view p) {
        return plenum ? p : pre;
    };
    t.push_back({.name = name("pre_chamber.length", "plenum.length"),
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 20000 mm",
                 .required = true,
                 .example = "\"400 mm\"",
                 .doc = "Inside length along x, end wall to end wall."});
    t.push_back(
        {.name = name("pre_chamber.area", "plenum.area"),
         .kind = Kind::profile,
         .dimension = Dimension::area,
         .low = "> 0 mm2",
         .high = "<= 1000000 mm2",
         .example = name("{ x = \"0, 400 mm\", value = \"4100, 2100 mm2\" }", "\"6400 mm2\""),
         .doc = "Section, constant or along x. Give `area` or `diameter`."});
    t.push_back({.name = name("pre_chamber.diameter", "plenum.diameter"),
                 .kind = Kind::profile,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 1000 mm",
                 .example = "\"64 mm\"",
                 .doc = "Bore of a round chamber, instead of `area`."});
    add_wall_keys(t, plenum);
}

}  // namespace

void add_intake_keys(std::vector<Key>& t) {
    t.push_back({.name = "bank",
                 .kind = Kind::list,
                 .example = "[[bank]]",
                 .doc = "Several plenums: each [[bank]] holds its own throttle, pre_chamber, slot, "
                        "plenum, runner and `cylinders`. On the command line `slot.width` then "
                        "means that of every bank, `bank.left.slot.width` one of them."});
    t.push_back({.name = "bank.name",
                 .example = "\"left\"",
                 .doc = "Name of the bank; two banks have two names."});
    t.push_back({.name = "bank.cylinders",
                 .kind = Kind::integers,
                 .low = ">= 1",
                 .high = "<= 16",
                 .example = "[1, 2, 3]",
                 .doc = "Cylinder of each runner; required with an engine and several banks."});
    t.push_back({.name = "throttle",
                 .kind = Kind::list,
                 .example = "[throttle]",
                 .doc = "One [throttle], or several as [[throttle]]."});
    add_throttle_keys(t);
    add_chamber_keys(t, false);
    add_slot_keys(t);
    add_chamber_keys(t, true);
}

}  // namespace plenair::file

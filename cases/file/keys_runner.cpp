#include "cases/file/key.hpp"

namespace plenair::file {
namespace {

void add_bell_keys(std::vector<Key>& t) {
    t.push_back({.name = "runner.bell_radius",
                 .kind = Kind::quantities,
                 .dimension = Dimension::length,
                 .low = ">= 0 mm",
                 .high = "<= 100 mm",
                 .fallback = "\"0 mm\"",
                 .example = "\"11 mm\"",
                 .doc = "Entry radius of the bell mouth; 0 is a sharp edge."});
    t.push_back({.name = "runner.bell_outer_diameter",
                 .kind = Kind::quantities,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 400 mm",
                 .example = "\"68 mm\"",
                 .doc = "Outer diameter of the bell mouth: mouth and twice the bell radius, or "
                        "more."});
    t.push_back({.name = "runner.protrusion",
                 .kind = Kind::quantities,
                 .dimension = Dimension::length,
                 .low = ">= 0 mm",
                 .high = "<= 300 mm",
                 .example = "\"12 mm\"",
                 .doc = "How far the bell mouth is raised above the floor."});
    t.push_back({.name = "runner.wall_clearance",
                 .kind = Kind::quantities,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 1000 mm",
                 .example = "\"62 mm\"",
                 .doc = "Bell mouth to the opposite wall; with the protrusion at most "
                        "`plenum.height`. Under one mouth diameter is warned of."});
}

void add_loss_keys(std::vector<Key>& t) {
    t.push_back({.name = "runner.angle",
                 .kind = Kind::quantities,
                 .dimension = Dimension::angle,
                 .low = ">= 15 deg",
                 .high = "<= 165 deg",
                 .fallback = "\"90 deg\"",
                 .example = "\"60 deg\"",
                 .doc = "Between the runner's axis, outwards, and the plenum's x: below 90 deg it "
                        "leans towards the far end. Another than 90 deg needs `model.mouth_law = "
                        "\"tee\"`: the lateral law was measured at right angles."});
    t.push_back({.name = "runner.entry_loss",
                 .kind = Kind::numbers,
                 .low = ">= 0",
                 .high = "<= 3",
                 .usual_low = "0.03",
                 .usual_high = "1",
                 .example = "0.05",
                 .doc = "Entry loss coefficient on the runner's dynamic head; without it from the "
                        "bell radius."});
    t.push_back({.name = "runner.bend_loss",
                 .kind = Kind::numbers,
                 .low = ">= 0",
                 .high = "<= 10",
                 .fallback = "0",
                 .example = "0.15",
                 .doc = "Loss coefficient of all bends together, on the mean dynamic head."});
    t.push_back({.name = "runner.exit_loss",
                 .kind = Kind::numbers,
                 .low = ">= 0",
                 .high = "<= 100",
                 .example = "1.0",
                 .doc =
                     "Rig: loss coefficient of all that follows the entry, the exit head "
                     "included; outwards an ideal opening of the bore's area over its root, which "
                     "chokes as openings do. Below 1 counts as 1."});
    t.push_back({.name = "runner.exit_pressure",
                 .kind = Kind::quantities,
                 .dimension = Dimension::pressure,
                 .low = ">= 5 kPa abs",
                 .high = "<= 600 kPa abs",
                 .example = "\"95 kPa abs\"",
                 .doc = "Rig: pressure of the room behind a runner, where it is another than the "
                        "source less `bench.depression`."});
    t.push_back({.name = "runner.roughness",
                 .kind = Kind::quantities,
                 .dimension = Dimension::length,
                 .low = ">= 0 um",
                 .high = "<= 2 mm",
                 .example = "\"3.2 um\"",
                 .doc = "Wall roughness; without it what `model.friction` says."});
    t.push_back({.name = "runner.wall_temperature",
                 .kind = Kind::quantities,
                 .dimension = Dimension::temperature,
                 .low = ">= 200 K",
                 .high = "<= 700 K",
                 .example = "\"340 K\"",
                 .doc = "Wall temperature of the runner; without it no heat passes the wall."});
    t.push_back({.name = "runner.port_wall_temperature",
                 .kind = Kind::quantities,
                 .dimension = Dimension::temperature,
                 .low = ">= 200 K",
                 .high = "<= 700 K",
                 .example = "\"370 K\"",
                 .doc = "Wall temperature of the port in the head."});
}

}  // namespace

void add_runner_keys(std::vector<Key>& t) {
    t.push_back({.name = "runner.x",
                 .kind = Kind::quantities,
                 .dimension = Dimension::length,
                 .low = ">= 0 mm",
                 .high = "<= 20000 mm",
                 .required = true,
                 .example = "\"54.5, 151.5, 248.5, 345.5 mm\"",
                 .doc = "Centres of the runner mouths along the plenum, from the wall x = 0; their "
                        "number is the number of runners. Every other runner key takes one value "
                        "for all or one per runner."});
    t.push_back({.name = "runner.length",
                 .kind = Kind::quantities,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 20000 mm",
                 .required = true,
                 .example = "\"168 mm\"",
                 .doc = "Along the axis from the plenum floor to the head flange. The port is "
                        "added: air column to the valve = `length` + `port_length`."});
    t.push_back({.name = "runner.port_length",
                 .kind = Kind::quantities,
                 .dimension = Dimension::length,
                 .low = ">= 0 mm",
                 .high = "<= 1000 mm",
                 .fallback = "\"0 mm\"",
                 .example = "\"92 mm\"",
                 .doc = "Port in the head, flange to valve seat. 0 mm where `length` already "
                        "reaches the valve."});
    t.push_back({.name = "runner.diameter",
                 .kind = Kind::taper,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 300 mm",
                 .required = true,
                 .example = "{ start = \"46.0 mm\", end = \"43.0 mm\" }",
                 .doc =
                     "Bore from mouth to flange: one value, one per runner, { start, end } for a "
                     "straight taper, or { x, value } along the runner from its mouth."});
    t.push_back({.name = "runner.port_diameter",
                 .kind = Kind::taper,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 300 mm",
                 .example = "{ start = \"43.0 mm\", end = \"41.0 mm\" }",
                 .doc =
                     "Bore of the port from flange to valve, written like `diameter`; without it "
                     "the bore at the flange goes on."});
    add_bell_keys(t);
    add_loss_keys(t);
}

}  // namespace plenair::file

#include "cases/file/key.hpp"
#include "cases/study/model_numbers.hpp"

namespace plenair::file {
namespace {

void add_numerics_keys(std::vector<Key>& t) {
    t.push_back({.name = "model.cells",
                 .kind = Kind::choice,
                 .choices = "certified|coarse|fine|largest cell <length>",
                 .fallback = "\"certified\"",
                 .example = "\"largest cell 10 mm\"",
                 .doc = "Cells along the parts: \"certified\" is half a mouth bore in chambers and "
                        "22 mm in runners, at least six in each; \"coarse\" half, \"fine\" "
                        "three times as many; or the largest cell."});
    t.push_back(
        {.name = "model.courant",
         .kind = Kind::number,
         .low = "> 0",
         .high = "<= 2",
         .fallback = "1.7",
         .example = "1.7",
         .doc = "Courant number of the time step; the stepper ends between 1.73 and 1.86."});
    t.push_back({.name = "model.tolerance",
                 .kind = Kind::number,
                 .low = ">= 1e-12",  // below, rounding decides
                 .high = "<= 0.001",
                 .fallback = "1e-5",
                 .example = "1e-5",
                 .doc = "Estimated error of a share at which a cycle counts as periodic (1e-5 is "
                        "0.001 % of an even share); a sweep has sweep.tolerance."});
    t.push_back({.name = "model.max_cycles",
                 .kind = Kind::integer,
                 .low = ">= 2",
                 .high = "<= 10000",
                 .fallback = "60",
                 .example = "60",
                 .doc = "Cycles after which a point is given with the error that its shares then "
                        "have. One whose shares are not known to 0.5 % then goes on to five times "
                        "as many (to this number where it is below 60), and is no result if that "
                        "does not help."});
}

void add_law_keys(std::vector<Key>& t) {
    t.push_back({.name = "model.mouth_law",
                 .kind = Kind::choice,
                 .choices = "lateral|tee",
                 .fallback = "\"lateral\"",
                 .example = "\"tee\"",
                 .doc = "Law of the runner mouth: lateral (Hudson) or tee (Gardel)."});
    t.push_back(
        {.name = "model.slot_edge",
         .kind = Kind::choice,
         .choices = "correlation|sharp_exact",
         .fallback = "\"correlation\"",
         .example = "\"sharp_exact\"",
         .doc = "Slot coefficient: correlation of land and edge, or the exact sharp slot."});
    t.push_back({.name = "model.slot_compressibility",
                 .kind = Kind::flag,
                 .fallback = "\"on\"",
                 .example = "\"off\"",
                 .doc = "Compressibility correction of the slot's Cd."});
    t.push_back({.name = "model.friction",
                 .kind = Kind::choice,
                 .choices = "off|smooth|<roughness>|darcy <factor>",
                 .fallback = "\"smooth\"",
                 .example = "\"3.2 um\"",
                 .doc = "Wall friction: \"off\", \"smooth\", a roughness such as \"3.2 um\", or a "
                        "fixed Darcy factor such as \"darcy 0.02\"."});
    t.push_back({.name = "model.wall_heat",
                 .kind = Kind::flag,
                 .fallback = "\"on\"",
                 .example = "\"off\"",
                 .doc = "Heat through the walls of intake parts with a wall temperature."});
    add_numerics_keys(t);
}

}  // namespace

void add_model_keys(std::vector<Key>& t) {
    for (const ModelNumber& number : model_numbers()) {
        t.push_back({.name = number.key,
                     .kind = Kind::number,
                     .low = number.low,
                     .high = number.high,
                     .usual_low = number.band_low,
                     .usual_high = number.band_high,
                     .fallback = number.fallback,
                     .example = number.example,
                     .doc = number.doc});
    }
    t.push_back({.name = "model.jet",
                 .kind = Kind::flag,
                 .fallback = "\"on\"",
                 .example = "\"off\"",
                 .doc = "Momentum profile of the throttle jet."});
    add_law_keys(t);
}

// NOLINTNEXTLINE(readability-function-size): a table
const std::vector<SectionDoc>& section_docs() {
    static const std::vector<SectionDoc> docs = {
        {"case", "What the file is about."},
        {"site", "The air outside."},
        {"assumed",
         "Entries that nobody has confirmed, each with its basis, as `plenair start` writes them:\n"
         "\n"
         "    [assumed]\n"
         "    engine.rod = \"common practice: 1.75 strokes\"\n"
         "    valve.intake.opens = { basis = \"common practice\", within = \"12 deg\" }\n"
         "    point.exhaust_pressure = { basis = \"as the inlet\", within = \"20 %\" }   # of all "
         "points\n"
         "\n"
         "They are named with every result, and `plenair check` lists them, until their line is "
         "deleted: an entry that was measured or decided needs none."},
        {"engine", "Cylinders and crank. A rig has none."},
        {"valve.intake", "Intake valves of one cylinder."},
        {"valve.exhaust", "Exhaust valves of one cylinder."},
        {"bank", "Parts that breathe together, where there are several such sets."},
        {"throttle", "Throttle plate with shaft; several as [[throttle]]."},
        {"pre_chamber", "The chamber before the slot."},
        {"slot", "The metering slot between pre-chamber and plenum."},
        {"slot.pieces", "Pieces of a slot."},
        {"slot.holes", "A row of holes instead of a slot."},
        {"plenum", "The chamber that the runners leave."},
        {"runner", "Runners, bell mouths and ports."},
        {"source", "Source air of a rig."},
        {"bench", "Flow bench; without it the usual bench at 28 inH2O."},
        {"point", "Operating points of the engine."},
        {"curve",
         "Operating points over a range of speeds. An entry is one value, or a table over speed "
         "that covers the range:\n"
         "\n"
         "    [[curve]]\n"
         "    name = \"full\"\n"
         "    from = \"3000 rpm\"\n"
         "    to = \"8600 rpm\"\n"
         "    steps = 29\n"
         "    pressure = { speed = \"3000, 5500, 8600 rpm\", value = \"160, 245, 250 kPa abs\" }\n"
         "    temperature = \"318 K\"\n"
         "    exhaust_pressure = { speed = \"3000, 8600 rpm\", value = \"150, 270 kPa abs\" }\n"
         "\n"
         "[How to look at a curve over speed](how-to/curve.md)."},
        {"exhaust",
         "Back pressure over crank angle, as it was measured or computed elsewhere, in place of "
         "the constant of the point: for all cylinders, for those of a pipe, or for each one.\n"
         "\n"
         "    [[exhaust]]\n"
         "    cylinders = [1, 4]\n"
         "    points = [\"A4\"]\n"
         "    pressure = { angle = \"0, 120, 200, 320, 480, 560 deg\", pressure = \"252, 250, 296, "
         "258, 250, 296 kPa abs\" }\n"
         "\n"
         "Temperature and gas of what flows back stay those of the point."},
        {"transient",
         "A rig over time, of `plenair transient`: what stands before and behind it, and from "
         "where it begins. A vessel of three litres that blows down through a nozzle of 5 mm:\n"
         "\n"
         "    [plenum]\n"
         "    length = \"500 mm\"\n"
         "    area = \"6000 mm2\"\n"
         "    [runner]\n"
         "    x = \"250 mm\"\n"
         "    length = \"20 mm\"\n"
         "    diameter = \"5 mm\"\n"
         "    entry_loss = 0\n"
         "    [transient]\n"
         "    duration = \"700 ms\"\n"
         "    start_pressure = \"600 kPa abs\"\n"
         "\n"
         "Without `[bench]` the room has the source's pressure. Beside this section a chamber may "
         "be closed all round. [How to follow a rig in time](how-to/transient.md)."},
        {"response",
         "How a rig answers a small swing of pressure, frequency by frequency, of `plenair "
         "response`. Beside this section a chamber may be closed all round. [How to follow a rig "
         "in time](how-to/transient.md)."},
        {"charge",
         "Charge cooler, for points that name the compressor outlet instead of the state before "
         "the throttle."},
        {"fuel", "Fuel."},
        {"combustion", "Heat release in the cylinder."},
        {"injector", "Rail and staging; one injector of each stage a cylinder."},
        {"injector.primary", "First injector stage."},
        {"injector.secondary", "Second injector stage."},
        {"nitrous", "Nitrous oxide as measured: a mass balance of oxygen and fuel, an estimate."},
        {"model", "Coefficients of the model and accuracy of the computation."},
        {"learned", "What readings taught of the model's coefficients; every band is then theirs."},
        {"sweep",
         "Entries that `plenair sweep` varies, each under its name in quotes as after `--set`:\n"
         "\n"
         "    [sweep]\n"
         "    \"slot.width\" = { from = \"3 mm\", to = \"10 mm\", steps = 8 }   # or step = "
         "\"1 mm\"\n"
         "    \"slot.edge_radius\" = [\"0.5 mm\", \"1 mm\", \"2 mm\"]            # or \"0.5, 1, "
         "2 mm\"\n"
         "    \"point.A4.pressure\" = [\"230 kPa abs\", \"250 kPa abs\"]\n"
         "\n"
         "A list may hold whatever the entry itself may be. `to` is a whole number of steps from "
         "`from`. "
         "With method `sobol` a range without steps gives any number between its ends, with steps "
         "one of them. Settings of the section itself do not vary. The other verbs read the "
         "section and do not "
         "use it; [how to sweep](how-to/sweep.md)."},
        {"choose",
         "The goal of `plenair choose`. What may vary stands in `[choose.vary]`, each entry under "
         "its name in quotes as after `--set`, with bounds and the smallest step that the shop "
         "makes:\n"
         "\n"
         "    [choose]\n"
         "    make_best = \"spread\"\n"
         "    [choose.vary]\n"
         "    \"slot.edge_radius\" = { from = \"0.5 mm\", to = \"3 mm\", step = \"0.5 mm\" }\n"
         "    \"slot.width\" = { from = \"3 mm\", to = \"10 mm\", step = \"0.1 mm\", stations = 9, "
         "change = \"0.5 mm\", per = \"100 mm\" }\n"
         "    [[choose.limit]]\n"
         "    of = \"slot_loss\"\n"
         "    most = \"5 kPa\"\n"
         "    points = [\"A3\", \"A4\"]\n"
         "\n"
         "`stations` makes the width or section a profile of so many numbers at equal distances "
         "along the part, straight between them; `change` and `per` are the largest change along "
         "x. Without `stations` the whole entry is one number, also where the case has a taper. In "
         "a case of several banks `slot.width` means that of every bank, `bank.left.slot.width` "
         "that of one. [How to choose](how-to/choose.md)."},
        {"choose.limit", "What the chosen design must keep to."},
        {"tolerance",
         "What `plenair tolerance` counts with. Without this section the limits of `[slot]` and "
         "ISO 2768-1 m hold. [How to set tolerances](how-to/tolerance.md)."},
        {"tolerance.slot", "How far the slot may be off, either way."},
        {"tolerance.throttle", "How far the throttles may be off, either way."},
        {"tolerance.runner", "How far the runners may be off, either way."},
        {"tolerance.pre_chamber", "How far the pre-chamber may be off, either way."},
        {"tolerance.plenum", "How far the plenum may be off, either way."}};
    return docs;
}

}  // namespace plenair::file

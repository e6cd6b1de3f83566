#include "cases/file/key.hpp"

namespace plenair::file {

void add_exhaust_keys(std::vector<Key>& t) {
    t.push_back({.name = "exhaust",
                 .kind = Kind::list,
                 .example = "[[exhaust]]",
                 .doc = "Back pressure over crank angle, one table for some or all cylinders; as "
                        "many as wanted."});
    t.push_back({.name = "exhaust.pressure",
                 .kind = Kind::table,
                 .dimension = Dimension::pressure,
                 .low = ">= 10 kPa abs",
                 .high = "<= 600 kPa abs",
                 .choices = "angle|pressure",
                 .required = true,
                 .example = "{ angle = \"0, 90, 180, 540 deg\", pressure = \"240, 310, 265, 255 "
                            "kPa abs\" }",
                 .doc = "Pressure behind the exhaust valves: straight between the angles, and from "
                        "the last one over 720 deg to the first."});
    t.push_back({.name = "exhaust.angle_after",
                 .kind = Kind::choice,
                 .choices = "cylinder 1|own",
                 .fallback = "\"cylinder 1\"",
                 .example = "\"own\"",
                 .doc = "Angles count from the firing TDC of cylinder 1, or from that of each "
                        "cylinder by itself."});
    t.push_back({.name = "exhaust.cylinders",
                 .kind = Kind::integers,
                 .low = ">= 1",
                 .high = "<= 16",
                 .example = "[1, 4]",
                 .doc = "Cylinders behind whose valves it is; without it all of them."});
    t.push_back({.name = "exhaust.points",
                 .kind = Kind::choices,
                 .choices = "<names of points or curves>",
                 .example = "[\"A4\"]",
                 .doc = "Points and curves at which it holds; without it everywhere."});
}

}  // namespace plenair::file

#include "cases/file/keys_goal.hpp"

#include <array>

namespace plenair::file {
namespace {

void add_setting_keys(std::vector<Key>& t) {
    t.push_back({.name = "tolerance.target",
                 .kind = Kind::quantity,
                 .low = "> 0 %",
                 .high = "<= 50 %",
                 .fallback = "\"2 %\"",
                 .example = "\"2 %\"",
                 .doc = "Worst spread over the points that a made part may have."});
    t.push_back({.name = "tolerance.parts",
                 .kind = Kind::integer,
                 .low = ">= 100",
                 .high = "<= 10000000",
                 .fallback = "10000",
                 .example = "10000",
                 .doc = "Parts that are drawn at random for the odds."});
    t.push_back({.name = "tolerance.seed",
                 .kind = Kind::integer,
                 .low = ">= 0",
                 .high = "<= 4294967295",
                 .fallback = "1",
                 .example = "1",
                 .doc = "The same seed draws the same parts."});
    t.push_back({.name = "tolerance.method",
                 .kind = Kind::choice,
                 .choices = "surface|direct",
                 .fallback = "\"surface\"",
                 .example = "\"direct\"",
                 .doc = "`surface`: parts are read from a response surface whose error is "
                        "measured and printed; `direct`: every part is solved."});
    t.push_back({.name = "tolerance.process",
                 .kind = Kind::choice,
                 .choices = "ISO 2768-m|ISO 2768-f|none",
                 .fallback = "\"ISO 2768-m\"",
                 .example = "\"ISO 2768-f\"",
                 .doc = "General tolerance of lengths that have none of their own (ISO 2768-1, "
                        "tables 1 and 2, from memory); \"none\": such lengths are exact."});
    t.push_back({.name = "tolerance.coefficients",
                 .kind = Kind::flag,
                 .fallback = "\"on\"",
                 .example = "\"off\"",
                 .doc = "Whether the bands of the model's coefficients count beside the metal."});
}

struct Dimensioned {
    const char* name;
    const char* doc;
};

}  // namespace

void add_tolerance_keys(std::vector<Key>& t) {
    add_setting_keys(t);
    constexpr std::array dimensions = {
        Dimensioned{"tolerance.slot.width",
                    "Width, the same error at every station; without it `slot.width_tolerance`."},
        Dimensioned{"tolerance.slot.taper",
                    "Growth of the width from end to end; without it `slot.taper_tolerance`."},
        Dimensioned{"tolerance.slot.edge_radius",
                    "Inlet edge; without it `slot.edge_radius_tolerance`."},
        Dimensioned{"tolerance.slot.land", "Land; without it `slot.land_tolerance`."},
        Dimensioned{"tolerance.slot.length", "Length; without it `slot.length_tolerance`."},
        Dimensioned{"tolerance.throttle.bore", "Bore of each throttle."},
        Dimensioned{"tolerance.runner.length", "Length of each runner, each by itself."},
        Dimensioned{"tolerance.runner.diameter", "Bore of each runner, each by itself."},
        Dimensioned{"tolerance.runner.bell_radius", "Entry radius of each runner, each by itself."},
        Dimensioned{"tolerance.pre_chamber.height", "Height of the pre-chamber, its width kept."},
        Dimensioned{"tolerance.plenum.height", "Height of the plenum, its width kept."}};
    for (const auto& dimension : dimensions) {
        t.push_back({.name = dimension.name,
                     .kind = Kind::quantity,
                     .dimension = Dimension::length,
                     .low = "> 0 mm",
                     .high = "<= 20 mm",
                     .example = "\"0.05 mm\"",
                     .doc = dimension.doc});
    }
}

}  // namespace plenair::file

#include "cases/file/key.hpp"

namespace plenair::file {
namespace {

void add_hole_keys(std::vector<Key>& t) {
    t.push_back({.name = "slot.holes.x",
                 .kind = Kind::quantities,
                 .dimension = Dimension::length,
                 .low = ">= 0 mm",
                 .high = "<= 20000 mm",
                 .required = true,
                 .example = "\"40, 120, 200 mm\"",
                 .doc = "Centres of a row of holes that stands in for a slot."});
    t.push_back({.name = "slot.holes.length",
                 .kind = Kind::quantities,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 20000 mm",
                 .example = "\"30 mm\"",
                 .doc = "Extent of each hole along x."});
    t.push_back({.name = "slot.holes.width",
                 .kind = Kind::quantities,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 200 mm",
                 .example = "\"10 mm\"",
                 .doc = "Width of each rectangular hole."});
    t.push_back({.name = "slot.holes.diameter",
                 .kind = Kind::quantities,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 200 mm",
                 .example = "\"18 mm\"",
                 .doc = "Diameter of round holes, instead of `length` and `width`."});
    t.push_back({.name = "slot.holes.area",
                 .kind = Kind::quantities,
                 .dimension = Dimension::area,
                 .low = "> 0 mm2",
                 .high = "<= 100000 mm2",
                 .example = "\"300 mm2\"",
                 .doc = "Area of each hole where it is not length times width."});
}

void add_piece_keys(std::vector<Key>& t) {
    t.push_back({.name = "slot.pieces",
                 .kind = Kind::list,
                 .example = "[{ x = \"6 mm\", length = \"180 mm\", width = \"6 mm\" }]",
                 .doc = "A slot of several pieces, instead of `x`, `length`, `width`."});
    t.push_back({.name = "slot.pieces.x",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = ">= 0 mm",
                 .high = "<= 20000 mm",
                 .required = true,
                 .example = "\"6 mm\"",
                 .doc = "Start of the piece."});
    t.push_back({.name = "slot.pieces.length",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 20000 mm",
                 .required = true,
                 .example = "\"180 mm\"",
                 .doc = "Length of the piece."});
    t.push_back({.name = "slot.pieces.width",
                 .kind = Kind::profile,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 200 mm",
                 .required = true,
                 .example = "\"6 mm\"",
                 .doc = "Width of the piece."});
    add_hole_keys(t);
}

void add_edge_keys(std::vector<Key>& t) {
    t.push_back({.name = "slot.land",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 100 mm",
                 .example = "\"8.0 mm\"",
                 .doc = "Land thickness: how much wall the air passes. Required without `cd`."});
    t.push_back({.name = "slot.edge_radius",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = ">= 0 mm",
                 .high = "<= 50 mm",
                 .example = "\"2.0 mm\"",
                 .doc = "Inlet edge radius, pre-chamber side; it decides several % of flow. "
                        "Required without `cd`."});
    t.push_back({.name = "slot.outlet_edge",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = ">= 0 mm",
                 .high = "<= 50 mm",
                 .fallback = "\"0 mm\"",
                 .example = "\"0.2 mm\"",
                 .doc = "Edge radius on the plenum side; matters for flow back. Both edges fit "
                        "into the land."});
    t.push_back({.name = "slot.cd",
                 .kind = Kind::number,
                 .low = "> 0",
                 .high = "<= 1",
                 .usual_low = "0.55",
                 .usual_high = "0.98",
                 .example = "0.62",
                 .doc = "Measured or imposed discharge coefficient; takes the place of land and "
                        "edge radius."});
    add_piece_keys(t);
}

/// Where the slot stands and how its ends look: for the shop, as all below.
void add_shape_keys(std::vector<Key>& t) {
    t.push_back({.name = "slot.ends",
                 .kind = Kind::choice,
                 .choices = "full radius|square|cutter",
                 .example = "\"full radius\"",
                 .doc = "Machining sheet and drawing: ends of the slot; without it \"full "
                        "radius\", as an end mill leaves them (holes: \"square\"), and the sheet "
                        "marks it. Lengths are over all, end to end. Air is computed with square "
                        "ends; the sheet prints what the others take."});
    t.push_back({.name = "slot.cutter",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 200 mm",
                 .example = "\"3 mm\"",
                 .doc = "Machining sheet and drawing: diameter of the cutter that leaves the "
                        "corners, with `ends = \"cutter\"`."});
    t.push_back({.name = "slot.offset",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = ">= -2500 mm",
                 .high = "<= 2500 mm",
                 .fallback = "\"0 mm\"",
                 .example = "\"4 mm\"",
                 .doc = "Machining sheet and drawing: centre line of the slot from the middle of "
                        "the wall; + is up, seen from the pre-chamber with x = 0 on the left."});
    t.push_back({.name = "slot.squareness",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 5 mm",
                 .fallback = "\"0.05 mm\"",
                 .example = "\"0.05 mm\"",
                 .doc = "Machining sheet: how far the land may lean from square to the wall, over "
                        "its thickness."});
}

/// For the machining sheet only; no result depends on them.
void add_shop_keys(std::vector<Key>& t) {
    add_shape_keys(t);
    t.push_back(
        {.name = "slot.width_tolerance",
         .kind = Kind::quantity,
         .dimension = Dimension::length,
         .low = "> 0 mm",
         .high = "<= 5 mm",
         .fallback = "\"0.05 mm\"",
         .example = "\"0.05 mm\"",
         .doc =
             "Machining sheet: the width may be this much larger or smaller, at every station. In "
             "a "
             "case of inches the defaults of this and the other limits are whole half thousandths: "
             "0.002, 0.004 and 0.008 in."});
    t.push_back({.name = "slot.taper_tolerance",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 5 mm",
                 .fallback = "\"0.05 mm\"",
                 .example = "\"0.03 mm\"",
                 .doc = "Machining sheet: the width may grow or shrink this much from end to end, "
                        "beyond the drawn change."});
    t.push_back(
        {.name = "slot.edge_radius_tolerance",
         .kind = Kind::quantity,
         .dimension = Dimension::length,
         .low = "> 0 mm",
         .high = "<= 10 mm",
         .fallback = "\"0.2 mm\"",
         .example = "\"0.2 mm\"",
         .doc = "Machining sheet: the inlet edge radius may be this much larger or smaller."});
    t.push_back({.name = "slot.land_tolerance",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 10 mm",
                 .fallback = "\"0.1 mm\"",
                 .example = "\"0.1 mm\"",
                 .doc = "Machining sheet: the land thickness may be this much larger or smaller."});
    t.push_back({.name = "slot.length_tolerance",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 10 mm",
                 .fallback = "\"0.2 mm\"",
                 .example = "\"0.2 mm\"",
                 .doc = "Machining sheet: start, length and hole centres may be off this much."});
    t.push_back({.name = "slot.flatness",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 5 mm",
                 .fallback = "\"0.05 mm\"",
                 .example = "\"0.05 mm\"",
                 .doc = "Machining sheet: flatness of the wall beside the slot."});
    t.push_back({.name = "slot.surface",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 um",
                 .high = "<= 50 um",
                 .fallback = "\"3.2 um\"",
                 .example = "\"1.6 um\"",
                 .doc = "Machining sheet: roughness Ra of land and edges."});
    t.push_back({.name = "slot.material",
                 .kind = Kind::text,
                 .example = "\"aluminium 6082-T6\"",
                 .doc = "Machining sheet: material note; without it a blank to fill by pen."});
}

}  // namespace

void add_slot_keys(std::vector<Key>& t) {
    t.push_back({.name = "slot.x",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = ">= 0 mm",
                 .high = "<= 20000 mm",
                 .example = "\"6 mm\"",
                 .doc = "Where the slot begins, from the wall x = 0."});
    t.push_back({.name = "slot.length",
                 .kind = Kind::quantity,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 20000 mm",
                 .example = "\"388 mm\"",
                 .doc = "Length along x."});
    t.push_back({.name = "slot.width",
                 .kind = Kind::profile,
                 .dimension = Dimension::length,
                 .low = "> 0 mm",
                 .high = "<= 200 mm",
                 .usual_low = "2 mm",
                 .usual_high = "25 mm",
                 .example = "\"6.0 mm\"",
                 .doc = "Width, constant or along the slot (stations counted from its start)."});
    add_edge_keys(t);
    add_shop_keys(t);
}

}  // namespace plenair::file

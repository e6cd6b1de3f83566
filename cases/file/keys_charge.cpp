#include "cases/file/charge.hpp"

/// Charge before the throttle from what stands before it: compressor and cooler.
namespace plenair::file {

void add_charge_keys(std::vector<Key>& t) {
    t.push_back({.name = "charge.cooler_effectiveness",
                 .kind = Kind::quantity,
                 .low = ">= 0 %",
                 .high = "<= 100 %",
                 .usual_low = "50 %",
                 .usual_high = "95 %",
                 .example = "\"70 %\"",
                 .doc =
                     "Fall of the charge's temperature in the cooler over the difference between "
                     "compressor outlet and coolant; needed where a point names its compressor "
                     "outlet."});
    t.push_back({.name = "charge.cooler_loss",
                 .kind = Kind::quantity,
                 .dimension = Dimension::pressure,
                 .difference = true,
                 .low = ">= 0 kPa",
                 .high = "<= 50 kPa",
                 .usual_low = "0 kPa",
                 .usual_high = "15 kPa",
                 .fallback = "\"0 kPa\"",
                 .example = "\"1.0 psi\"",
                 .doc = "Fall of the charge's total pressure from compressor outlet to throttle."});
    t.push_back({.name = "charge.coolant_temperature",
                 .kind = Kind::quantity,
                 .dimension = Dimension::temperature,
                 .low = ">= 200 K",
                 .high = "<= 400 K",
                 .example = "\"20 degC\"",
                 .doc = "Air or water on the cold side of the cooler; without it "
                        "`site.temperature`."});
    t.push_back({.name = "point.compressor_pressure",
                 .kind = Kind::quantity,
                 .dimension = Dimension::pressure,
                 .low = ">= 10 kPa abs",
                 .high = "<= 600 kPa abs",
                 .example = "\"22 psi g\"",
                 .doc = "Total pressure at the compressor outlet; with `compressor_temperature` in "
                        "place of `pressure` and `temperature`."});
    t.push_back({.name = "point.compressor_temperature",
                 .kind = Kind::quantity,
                 .dimension = Dimension::temperature,
                 .low = ">= 200 K",
                 .high = "<= 600 K",
                 .example = "\"140 degC\"",
                 .doc = "Total temperature at the compressor outlet."});
}

}  // namespace plenair::file

#include "cases/file/key.hpp"

namespace plenair::file {
namespace {

void add_range_keys(std::vector<Key>& t) {
    t.push_back({.name = "curve",
                 .kind = Kind::list,
                 .example = "[[curve]]",
                 .doc = "Operating points over a range of speeds; as many curves as wanted."});
    t.push_back({.name = "curve.name",
                 .required = true,
                 .example = "\"full\"",
                 .doc = "Name, different from every other curve's and point's; its points are "
                        "called full@3000, full@3250, ..."});
    t.push_back({.name = "curve.from",
                 .kind = Kind::quantity,
                 .dimension = Dimension::speed,
                 .low = "> 0 rpm",
                 .high = "<= 25000 rpm",
                 .required = true,
                 .example = "\"3000 rpm\"",
                 .doc = "First crank speed."});
    t.push_back({.name = "curve.to",
                 .kind = Kind::quantity,
                 .dimension = Dimension::speed,
                 .low = "> 0 rpm",
                 .high = "<= 25000 rpm",
                 .required = true,
                 .example = "\"8600 rpm\"",
                 .doc = "Last crank speed, above `from`."});
    t.push_back({.name = "curve.steps",
                 .kind = Kind::integer,
                 .low = ">= 2",
                 .high = "<= 1000",
                 .fallback = "20",
                 .example = "24",
                 .doc = "Speeds, both ends included, equally far apart."});
}

}  // namespace

void add_curve_keys(std::vector<Key>& t) {
    add_range_keys(t);
    t.push_back({.name = "curve.pressure",
                 .kind = Kind::over_speed,
                 .dimension = Dimension::pressure,
                 .low = ">= 10 kPa abs",
                 .high = "<= 600 kPa abs",
                 .required = true,
                 .example = "{ speed = \"3000, 8600 rpm\", value = \"180, 250 kPa abs\" }",
                 .doc = "Total pressure before the throttle; straight between the speeds, which "
                        "cover the range."});
    t.push_back({.name = "curve.temperature",
                 .kind = Kind::over_speed,
                 .dimension = Dimension::temperature,
                 .low = ">= 200 K",
                 .high = "<= 450 K",
                 .usual_low = "250 K",
                 .usual_high = "380 K",
                 .required = true,
                 .example = "\"318 K\"",
                 .doc = "Total temperature before the throttle."});
    t.push_back({.name = "curve.exhaust_pressure",
                 .kind = Kind::over_speed,
                 .dimension = Dimension::pressure,
                 .low = ">= 10 kPa abs",
                 .high = "<= 600 kPa abs",
                 .required = true,
                 .example = "{ speed = \"3000, 8600 rpm\", value = \"170, 270 kPa abs\" }",
                 .doc = "Pressure behind the exhaust valves."});
    t.push_back({.name = "curve.exhaust_temperature",
                 .kind = Kind::over_speed,
                 .dimension = Dimension::temperature,
                 .low = ">= 200 K",
                 .high = "<= 1800 K",
                 .fallback = "\"1000 K\"",
                 .example = "\"1150 K\"",
                 .doc = "Temperature of the gas behind the exhaust valves."});
    t.push_back({.name = "curve.throttle_angle",
                 .kind = Kind::over_speed,
                 .dimension = Dimension::angle,
                 .low = ">= 0 deg",
                 .high = "<= 90 deg",
                 .choices = "open",
                 .fallback = "\"open\"",
                 .example = "\"28 deg\"",
                 .doc = "Plate angle from square to the bore, or \"open\"."});
    t.push_back({.name = "curve.lambda",
                 .kind = Kind::over_speed,
                 .dimension = Dimension::none,
                 .low = ">= 0.4",
                 .high = "<= 10",
                 .usual_low = "0.7",
                 .usual_high = "1.3",
                 .fallback = "1.0",
                 .example = "{ speed = \"3000, 8600 rpm\", value = [0.86, 0.80] }",
                 .doc = "Air over stoichiometric air."});
    t.push_back({.name = "curve.humidity",
                 .kind = Kind::quantity,
                 .low = ">= 0 %",
                 .high = "<= 100 %",
                 .example = "\"40 %\"",
                 .doc = "Relative humidity of the air outside; without it `site.humidity`."});
}

}  // namespace plenair::file

#include "cases/file/charge.hpp"

namespace plenair::file {
namespace {

void add_rig_keys(std::vector<Key>& t) {
    t.push_back({.name = "source.pressure",
                 .kind = Kind::quantity,
                 .dimension = Dimension::pressure,
                 .low = ">= 10 kPa abs",
                 .high = "<= 600 kPa abs",
                 .fallback = "\"101.325 kPa abs\"",
                 .example = "\"101.325 kPa abs\"",
                 .doc = "Rig: total pressure of the source air."});
    t.push_back({.name = "source.temperature",
                 .kind = Kind::quantity,
                 .dimension = Dimension::temperature,
                 .low = ">= 200 K",
                 .high = "<= 450 K",
                 .fallback = "\"20 degC\"",
                 .example = "\"293.15 K\"",
                 .doc = "Rig: total temperature of the source air."});
    t.push_back({.name = "source.gas_constant",
                 .kind = Kind::number,
                 .low = "> 0",
                 .high = "<= 5000",
                 .example = "287.05",
                 .doc = "Rig: gas constant [J/kg K], where the gas is not room air."});
    t.push_back({.name = "source.gamma",
                 .kind = Kind::number,
                 .low = "> 1",
                 .high = "<= 1.667",
                 .example = "1.4",
                 .doc = "Rig: ratio of specific heats."});
    t.push_back({.name = "source.humidity",
                 .kind = Kind::quantity,
                 .low = ">= 0 %",
                 .high = "<= 100 %",
                 .example = "\"40 %\"",
                 .doc = "Rig: relative humidity of the source air."});
    add_bench_keys(t);
}

void add_point_air_keys(std::vector<Key>& t) {
    t.push_back({.name = "point.throttle_angle",
                 .kind = Kind::quantity,
                 .dimension = Dimension::angle,
                 .low = ">= 0 deg",
                 .high = "<= 90 deg",
                 .choices = "open",
                 .fallback = "\"open\"",
                 .example = "\"28 deg\"",
                 .doc = "Plate angle from square to the bore, or \"open\"."});
    t.push_back({.name = "point.exhaust_pressure",
                 .kind = Kind::quantity,
                 .dimension = Dimension::pressure,
                 .low = ">= 10 kPa abs",
                 .high = "<= 600 kPa abs",
                 .required = true,
                 .example = "\"270 kPa abs\"",
                 .doc = "Pressure behind the exhaust valves, of cylinders without a table in "
                        "`[[exhaust]]`."});
    t.push_back({.name = "point.exhaust_temperature",
                 .kind = Kind::quantity,
                 .dimension = Dimension::temperature,
                 .low = ">= 200 K",
                 .high = "<= 1800 K",
                 .fallback = "\"1000 K\"",
                 .example = "\"1150 K\"",
                 .doc = "Temperature of the gas behind the exhaust valves, for flow back."});
    t.push_back({.name = "point.lambda",
                 .kind = Kind::number,
                 .low = ">= 0.4",
                 .high = "<= 10",
                 .usual_low = "0.7",
                 .usual_high = "1.3",
                 .fallback = "1.0",
                 .example = "0.80",
                 .doc = "Air over stoichiometric air."});
    t.push_back({.name = "point.air_fuel_ratio",
                 .kind = Kind::number,
                 .low = ">= 1",
                 .high = "<= 400",
                 .example = "12.5",
                 .doc = "Air over fuel by mass instead of lambda; needs `fuel.stoich`."});
    t.push_back({.name = "point.humidity",
                 .kind = Kind::quantity,
                 .low = ">= 0 %",
                 .high = "<= 100 %",
                 .example = "\"40 %\"",
                 .doc = "Relative humidity of the air outside at this point, at the site's "
                        "temperature and barometer; without it `site.humidity`."});
}

}  // namespace

void add_point_keys(std::vector<Key>& t) {
    add_rig_keys(t);
    t.push_back({.name = "point",
                 .kind = Kind::list,
                 .example = "[[point]]",
                 .doc = "One operating point; as many as wanted."});
    t.push_back({.name = "point.name",
                 .required = true,
                 .example = "\"A4\"",
                 .doc = "Name, different from every other point's."});
    t.push_back({.name = "point.speed",
                 .kind = Kind::quantity,
                 .dimension = Dimension::speed,
                 .low = "> 0 rpm",
                 .high = "<= 25000 rpm",
                 .required = true,
                 .example = "\"8600 rpm\"",
                 .doc = "Crank speed; the mean piston speed is at most 50 m/s."});
    t.push_back({.name = "point.pressure",
                 .kind = Kind::quantity,
                 .dimension = Dimension::pressure,
                 .low = ">= 10 kPa abs",
                 .high = "<= 600 kPa abs",
                 .example = "\"250 kPa abs\"",
                 .doc =
                     "Total pressure before the throttle, behind the charge cooler; required, or "
                     "`compressor_pressure`."});
    t.push_back({.name = "point.temperature",
                 .kind = Kind::quantity,
                 .dimension = Dimension::temperature,
                 .low = ">= 200 K",
                 .high = "<= 450 K",
                 .usual_low = "250 K",
                 .usual_high = "380 K",
                 .example = "\"322 K\"",
                 .doc = "Total temperature before the throttle, behind the charge cooler; "
                        "required, or `compressor_temperature`."});
    add_charge_keys(t);
    add_point_air_keys(t);
}

}  // namespace plenair::file

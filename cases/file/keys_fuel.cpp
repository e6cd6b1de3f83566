#include "cases/file/key.hpp"

namespace plenair::file {
namespace {

void add_combustion_keys(std::vector<Key>& t) {
    t.push_back({.name = "combustion.motored",
                 .kind = Kind::flag,
                 .fallback = "\"off\"",
                 .example = "\"on\"",
                 .doc = "Turn the engine without burning."});
    t.push_back({.name = "combustion.start",
                 .kind = Kind::quantity,
                 .dimension = Dimension::firing_event,
                 .fallback = "\"20 deg BTDC\"",
                 .example = "\"20 deg BTDC\"",
                 .doc = "Start of heat release; TDC is the firing one."});
    t.push_back({.name = "combustion.duration",
                 .kind = Kind::quantity,
                 .dimension = Dimension::angle,
                 .low = "> 0 deg",
                 .high = "<= 180 deg",
                 .usual_low = "30 deg",
                 .usual_high = "100 deg",
                 .fallback = "\"60 deg\"",
                 .example = "\"60 deg\"",
                 .doc = "Duration of heat release."});
    t.push_back({.name = "combustion.wiebe_a",
                 .kind = Kind::number,
                 .low = "> 0",
                 .high = "<= 20",
                 .fallback = "5.0",
                 .example = "5.0",
                 .doc = "Efficiency factor of the Wiebe function."});
    t.push_back({.name = "combustion.wiebe_m",
                 .kind = Kind::number,
                 .low = "> 0",
                 .high = "<= 10",
                 .fallback = "2.0",
                 .example = "2.0",
                 .doc = "Form factor of the Wiebe function."});
    t.push_back({.name = "combustion.wall_temperature",
                 .kind = Kind::quantity,
                 .dimension = Dimension::temperature,
                 .low = ">= 250 K",
                 .high = "<= 900 K",
                 .fallback = "\"450 K\"",
                 .example = "\"450 K\"",
                 .doc = "Mean temperature of the cylinder's walls."});
    t.push_back({.name = "combustion.wall_heat",
                 .kind = Kind::flag,
                 .fallback = "\"on\"",
                 .example = "\"on\"",
                 .doc = "Heat loss of the cylinder."});
}

void add_injector_stage(std::vector<Key>& t, bool primary) {
    const auto name = [primary](std::string_view p, std::string_view s) { return primary ? p : s; };
    t.push_back({.name = name("injector.primary.flow", "injector.secondary.flow"),
                 .kind = Kind::quantity,
                 .dimension = Dimension::fuel_flow,
                 .low = "> 0 cc/min",
                 .high = "<= 10000 cc/min",
                 .required = true,
                 .example = name("\"480 cc/min\"", "\"740 cc/min\""),
                 .doc = "Rated flow of one injector, held open, on the fluid of the rating; lb/h "
                        "refers to that fluid's density."});
    t.push_back(
        {.name = name("injector.primary.rated_pressure", "injector.secondary.rated_pressure"),
         .kind = Kind::quantity,
         .dimension = Dimension::pressure,
         .difference = true,
         .low = "> 0 kPa",
         .high = "<= 3000 kPa",
         .required = true,
         .why = name("injector.primary.flow needs the rating pressure",
                     "injector.secondary.flow needs the rating pressure"),
         .example = "\"300 kPa\"",
         .doc = "Pressure difference of the rating."});
    t.push_back({.name = name("injector.primary.rated_density", "injector.secondary.rated_density"),
                 .kind = Kind::quantity,
                 .dimension = Dimension::density,
                 .low = "> 0 kg/L",
                 .high = "<= 2 kg/L",
                 .fallback = "\"0.684 kg/L\"",
                 .example = "\"0.684 kg/L\"",
                 .doc = "Density of the fluid of the rating; by default n-heptane at 20 degC, the "
                        "usual test fluid."});
    t.push_back({.name = name("injector.primary.dead_time", "injector.secondary.dead_time"),
                 .kind = Kind::quantity,
                 .dimension = Dimension::time,
                 .low = ">= 0 ms",
                 .high = "<= 10 ms",
                 .required = true,
                 .why = "commanded duty holds it",
                 .example = "\"0.95 ms\"",
                 .doc = "Opening minus closing delay at running voltage."});
    t.push_back({.name = name("injector.primary.duty_limit", "injector.secondary.duty_limit"),
                 .kind = Kind::quantity,
                 .low = "> 0 %",
                 .high = "<= 100 %",
                 .usual_low = "60 %",
                 .usual_high = "95 %",
                 .fallback = "\"85 %\"",
                 .example = "\"85 %\"",
                 .doc = "Largest commanded duty, dead time included; common practice is 80 to "
                        "90 %."});
}

void add_injector_keys(std::vector<Key>& t) {
    t.push_back({.name = "injector.pressure",
                 .kind = Kind::quantity,
                 .dimension = Dimension::pressure,
                 .difference = true,
                 .low = "> 0 kPa",
                 .high = "<= 3000 kPa",
                 .example = "\"300 kPa\"",
                 .doc = "Pressure difference the regulator holds between rail and plenum."});
    t.push_back({.name = "injector.staging_pressure",
                 .kind = Kind::quantity,
                 .dimension = Dimension::pressure,
                 .low = ">= 10 kPa abs",
                 .high = "<= 600 kPa abs",
                 .example = "\"140 kPa abs\"",
                 .doc = "Plenum pressure from which the second stage adds; without it from any."});
    t.push_back({.name = "injector.staging_speed",
                 .kind = Kind::quantity,
                 .dimension = Dimension::speed,
                 .low = "> 0 rpm",
                 .high = "<= 25000 rpm",
                 .example = "\"4000 rpm\"",
                 .doc = "Speed from which the second stage adds; without it from any."});
    t.push_back({.name = "injector.equal_pressure",
                 .kind = Kind::quantity,
                 .dimension = Dimension::pressure,
                 .low = ">= 10 kPa abs",
                 .high = "<= 600 kPa abs",
                 .example = "\"200 kPa abs\"",
                 .doc = "Plenum pressure from which both stages have the same effective pulse; "
                        "without it as soon as the second stage adds."});
    add_injector_stage(t, true);
    add_injector_stage(t, false);
}

void add_nitrous_keys(std::vector<Key>& t) {
    t.push_back(
        {.name = "nitrous.flow",
         .kind = Kind::quantities,
         .dimension = Dimension::mass_flow,
         .low = ">= 0 g/s",
         .high = "<= 200 g/s",
         .required = true,
         .why = "nitrous is reckoned from its measured mass flow",
         .example = "\"6.0 g/s\"",
         .doc = "Measured nitrous oxide into each cylinder, one for all or one a cylinder."});
    t.push_back({.name = "nitrous.points",
                 .kind = Kind::choices,
                 .choices = "<names of points>",
                 .example = "[\"C3\"]",
                 .doc = "Names of the points at which it flows; without it all."});
    t.push_back({.name = "nitrous.jet_diameter",
                 .example = "\"0.8 mm\"",
                 .doc = "Refused: a liquid jet flows in two phases, which is not computed."});
}

}  // namespace

void add_fuel_keys(std::vector<Key>& t) {
    t.push_back({.name = "fuel.name", .example = "\"petrol\"", .doc = "What is burned."});
    t.push_back({.name = "fuel.stoich",
                 .kind = Kind::number,
                 .low = ">= 2",
                 .high = "<= 40",
                 .fallback = "14.6",
                 .example = "9.80",
                 .doc = "Stoichiometric air-fuel ratio by mass."});
    t.push_back({.name = "fuel.heating_value",
                 .kind = Kind::quantity,
                 .dimension = Dimension::specific_energy,
                 .low = "> 0 MJ/kg",
                 .high = "<= 130 MJ/kg",
                 .usual_low = "18 MJ/kg",
                 .usual_high = "50 MJ/kg",
                 .fallback = "\"42.5 MJ/kg\"",
                 .example = "\"29.2 MJ/kg\"",
                 .doc = "Lower heating value."});
    t.push_back({.name = "fuel.density",
                 .kind = Kind::quantity,
                 .dimension = Dimension::density,
                 .low = "> 0 kg/L",
                 .high = "<= 2 kg/L",
                 .example = "\"0.785 kg/L\"",
                 .doc = "Density of the fuel."});
    t.push_back({.name = "fuel.hydrogen_carbon",
                 .kind = Kind::number,
                 .low = ">= 0",
                 .high = "<= 4",
                 .fallback = "1.87",
                 .example = "1.87",
                 .doc = "Hydrogen atoms per carbon atom."});
    t.push_back({.name = "fuel.oxygen_carbon",
                 .kind = Kind::number,
                 .low = ">= 0",
                 .high = "<= 2",
                 .fallback = "0",
                 .example = "0.40",
                 .doc = "Oxygen atoms per carbon atom."});
    add_combustion_keys(t);
    add_injector_keys(t);
    add_nitrous_keys(t);
}

}  // namespace plenair::file

#include "tests/support/reference_case.hpp"

#include "solver/laws/mouth.hpp"

#include <stdexcept>

namespace plenair::test {

namespace {

reference::PoppetValve valve_of(const geometry::Valve& v) {
    if (!v.lift_angle.empty()) {
        throw std::invalid_argument("reference: a measured lift");
    }
    return {v.count,
            v.head,
            v.seat_width,
            v.seat_angle,
            v.throat,
            v.stem,
            v.lift,
            v.checking_lift,
            v.opens,
            v.closes,
            v.cd.abscissa,
            v.cd.cd};
}

reference::Section section_of(const geometry::Chamber& c) {
    return {c.length, [area = c.area](double x) { return area.at(x); }};
}

void take_slot(const geometry::Slot& slot, reference::EngineSpec& s) {
    if (slot.pieces.size() != 1 || !slot.holes.empty() || !slot.cd) {
        throw std::invalid_argument("reference: a slot of one piece with its cd");
    }
    const geometry::SlotPiece& piece = slot.pieces.front();
    s.slot = {piece.x, piece.length, slot.land, *slot.cd, [width = piece.width](double x) {
                  return width.at(x);
              }};
}

}  // namespace

reference::EngineSpec reference_spec(const Case& c, const OperatingPoint& point) {
    const bool plain = c.intake.banks.size() == 1 && !c.model.jet &&
                       c.model.mouth_law == MouthLaw::lateral &&
                       (c.model.friction == Friction::off || c.model.friction == Friction::darcy);
    if (!plain) {
        throw std::invalid_argument("reference: one bank, no jet, friction off or darcy");
    }
    const geometry::Bank& bank = c.intake.banks.front();
    reference::EngineSpec s;
    const geometry::Engine& e = c.engine;
    for (int i = 1; i <= e.cylinder_count(); ++i) {
        s.firing_tdc.push_back(e.firing_angle(i));
    }
    s.bore = e.bore;
    s.stroke = e.stroke;
    s.rod = e.rod;
    s.compression_ratio = e.compression_ratio;
    s.exhaust_port = e.exhaust_port;
    s.intake = valve_of(e.intake);
    s.exhaust = valve_of(e.exhaust);
    s.has_chamber = bank.pre_chamber.has_value();
    s.plenum = section_of(*bank.plenum);
    if (s.has_chamber) {
        s.chamber = section_of(*bank.pre_chamber);
        take_slot(*bank.slot, s);
    }
    for (const auto& t : bank.throttles) {
        using Place = reference::ThrottleSpec::Place;
        const Place place = t.position == geometry::FeedPosition::start ? Place::start
                            : t.position == geometry::FeedPosition::end ? Place::end
                                                                        : Place::side;
        s.throttles.push_back({place, t.x, t.bore, t.effective_area(point.throttle_angle)});
    }
    for (std::size_t i = 0; i < bank.runners.size(); ++i) {
        const geometry::Runner& r = bank.runners[i];
        reference::RunnerSpec spec;
        spec.x = r.x;
        spec.length = r.length;
        spec.entry_loss =
            r.entry_loss.value_or(laws::mouth_loss(r.bell_radius / r.mouth_diameter()));
        spec.bend_loss = r.bend_loss;
        spec.bore = [bore = r.diameter](double x) { return bore.at(x); };
        spec.cylinder = static_cast<int>(i);
        s.runners.push_back(spec);
    }
    s.regain = c.model.regain;
    s.crossflow_loss = c.model.crossflow_loss;
    s.darcy = c.model.friction == Friction::darcy ? c.model.darcy : 0;
    s.speed = point.speed;
    s.pressure = point.pressure;
    s.temperature = point.temperature;
    s.humidity = point.humidity_ratio;
    s.exhaust_pressure = point.exhaust_pressure;
    s.exhaust_temperature = point.exhaust_temperature;
    const Combustion& burn = point.combustion;
    s.motored = burn.motored;
    s.wall_heat = burn.wall_heat;
    s.lambda = burn.lambda;
    s.stoich = burn.stoich;
    s.heating_value = burn.heating_value;
    s.hydrogen_carbon = burn.hydrogen_carbon;
    s.oxygen_carbon = burn.oxygen_carbon;
    s.burn_start = burn.start;
    s.burn_duration = burn.duration;
    s.wiebe_a = burn.wiebe_a;
    s.wiebe_m = burn.wiebe_m;
    s.wall_temperature = burn.wall_temperature;
    return s;
}

std::string reference_engine_text(const std::string& which) {
    const std::string valves = R"(
[valve.intake]
count = 2
head = "33 mm"
seat_width = "1.3 mm"
throat = "28.5 mm"
stem = "5.5 mm"
lift = "9.8 mm"
opens = "20 deg BTDC"
closes = "56 deg ABDC"
cd = { lift_over_diameter = [0.05, 0.10, 0.20, 0.30], cd = [0.66, 0.65, 0.56, 0.45] }
[valve.exhaust]
count = 2
head = "28.5 mm"
seat_width = "1.4 mm"
throat = "24.5 mm"
stem = "5.5 mm"
lift = "9.2 mm"
opens = "58 deg BBDC"
closes = "18 deg ATDC"
cd = { lift_over_diameter = [0.05, 0.10, 0.20, 0.30], cd = [0.70, 0.70, 0.62, 0.52] }
[model]
jet = "off"
friction = "darcy 0.02"
[[point]]
name = "P"
speed = "6000 rpm"
pressure = "101.3 kPa abs"
temperature = "298 K"
exhaust_pressure = "108 kPa abs"
exhaust_temperature = "1050 K"
lambda = 0.9
)";
    if (which == "one") {
        return R"(format = 1
[engine]
firing_order = [1]
bore = "88 mm"
stroke = "72 mm"
rod = "125 mm"
compression_ratio = 11.5
[throttle]
bore = "48 mm"
shaft = "8 mm"
[plenum]
length = "240 mm"
area = "6000 mm2"
[runner]
x = "150 mm"
length = "230 mm"
diameter = { start = "44 mm", end = "41 mm" }
port_length = "70 mm"
bell_radius = "8 mm"
)" + valves;
    }
    if (which == "four") {
        return R"(format = 1
[engine]
firing_order = [1, 3, 4, 2]
bore = "86 mm"
stroke = "78 mm"
rod = "135 mm"
compression_ratio = 10.4
[throttle]
bore = "66 mm"
shaft = "10 mm"
[pre_chamber]
length = "396 mm"
area = { x = "0, 396 mm", value = "4200, 2600 mm2" }
[slot]
x = "6 mm"
length = "384 mm"
width = "6.5 mm"
land = "8 mm"
cd = 0.78
[plenum]
length = "396 mm"
area = "6200 mm2"
[runner]
x = "54, 150, 246, 342 mm"
length = "210 mm"
diameter = { start = "46 mm", end = "42 mm" }
port_length = "90 mm"
port_diameter = { start = "42 mm", end = "40.5 mm" }
bell_radius = "10 mm"
)" + valves;
    }
    if (which == "five") {
        return R"(format = 1
[engine]
firing_order = [1, 2, 4, 5, 3]
bore = "3.25 in"
stroke = "3.5 in"
rod = "5.6 in"
compression_ratio = 10.8
[throttle]
bore = "2.7 in"
shaft = "0.375 in"
position = "side"
x = "9.0 in"
[pre_chamber]
length = "18 in"
area = "6.4 in2"
[slot]
x = "0.25 in"
length = "17.5 in"
width = "0.3 in"
land = "0.3 in"
cd = 0.8
[plenum]
length = "18 in"
area = "8.8 in2"
[runner]
x = "2.0, 5.5, 9.0, 12.5, 16.0 in"
length = "8.5 in"
port_length = "3.5 in"
diameter = { start = "1.75 in", end = "1.6 in" }
bell_radius = "0.4 in"
)" + valves;
    }
    throw std::invalid_argument("reference: no engine " + which);
}

}  // namespace plenair::test

#include "cases/study/derived.hpp"

#include "geometry/clearance.hpp"
#include "geometry/quantity.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace plenair::study {

namespace {

using geometry::Bank;
using geometry::Chamber;
using geometry::Valve;

void add_valve(const Valve& valve, const std::string& name, Sheet& sheet) {
    const std::string key = "valve." + name + ".";
    const std::string which = name + " valve";
    const double middle = 0.5 * (valve.opens + valve.closes);
    sheet.add(key + "duration",
              "crank angle from opening to closing of the " + which,
              "rad",
              valve.closes - valve.opens);
    sheet.add(key + "lift_over_diameter",
              "largest lift over head diameter of the " + which,
              "1",
              valve.lift / valve.head);
    sheet.add(key + "curtain_area",
              "curtain area of one " + which + " at full lift",
              "m2",
              std::numbers::pi * valve.head * valve.lift);
    sheet.add(key + "geometric_area",
              "smallest geometric area of one " + which + " at full lift",
              "m2",
              valve.geometric_area(valve.lift));
    sheet.add(key + "effective_area",
              "effective area of all " + which + "s of a cylinder at full lift",
              "m2",
              valve.effective_area(middle));
}

void add_chamber(const Chamber& room,
                 const std::string& key,
                 const std::string& name,
                 double swept,
                 Sheet& sheet) {
    sheet.add(key + ".volume", "volume of the " + name, "m3", room.volume());
    if (swept > 0) {
        sheet.add(key + ".volume_ratio",
                  "volume of the " + name + " over swept volume",
                  "1",
                  room.volume() / swept);
    }
    sheet.add(key + ".mean_area", "mean section of the " + name, "m2", room.volume() / room.length);
    if (room.area.smallest() != room.area.largest()) {
        sheet.add(
            key + ".start_area", "section of the " + name + " at x = 0", "m2", room.area.at(0));
        sheet.add(key + ".end_area",
                  "section of the " + name + " at its far end",
                  "m2",
                  room.area.at(room.length));
    }
}

void add_throttles(const Bank& bank, Sheet& sheet) {
    double effective = 0;
    for (std::size_t i = 0; i < bank.throttles.size(); ++i) {
        const auto& part = bank.throttles[i];
        const std::string number = bank.throttles.size() > 1 ? " " + std::to_string(i + 1) : "";
        const std::string key =
            bank.throttles.size() > 1 ? "throttle." + std::to_string(i + 1) + "." : "throttle.";
        sheet.add(
            key + "bore_area", "area of the bore of throttle" + number, "m2", part.bore_area());
        sheet.add(key + "open_area",
                  "open area of throttle" + number + ", wide open",
                  "m2",
                  part.wide_open_area());
        sheet.add(key + "effective_area",
                  "Cd x area of throttle" + number + ", wide open",
                  "m2",
                  part.effective_area(std::nullopt));
        effective += part.effective_area(std::nullopt);
    }
    if (bank.throttles.size() > 1) {
        sheet.add(
            "throttle.effective_area", "Cd x area of all throttles, wide open", "m2", effective);
    }
}

double throttle_effective_area(const Bank& bank) {
    double sum = 0;
    for (const auto& part : bank.throttles) {
        sum += part.effective_area(std::nullopt);
    }
    return sum;
}

void add_slot(const Bank& bank, const Model& model, Sheet& sheet) {
    const auto& slot = *bank.slot;
    double length = 0;
    double width_area = 0;
    for (const auto& piece : slot.pieces) {
        length += piece.length;
        width_area += piece.area();
    }
    sheet.add("slot.area", "area of the slot", "m2", slot.area());
    if (length > 0) {
        const double width = width_area / length;
        sheet.add("slot.length", "length of the slot, all pieces", "m", length);
        sheet.add("slot.mean_width", "mean width of the slot", "m", width);
        sheet.add("slot.aspect_ratio", "length over mean width of the slot", "1", length / width);
        sheet.add("slot.hydraulic_diameter",
                  "hydraulic diameter of the slot, twice its mean width",
                  "m",
                  2 * width);
        if (!slot.cd) {
            sheet.add("slot.land_ratio",
                      "land thickness over hydraulic diameter",
                      "1",
                      slot.land / (2 * width));
            sheet.add("slot.edge_ratio",
                      "inlet edge radius over hydraulic diameter",
                      "1",
                      slot.edge_radius / (2 * width));
        }
    }
    if (!bank.pre_chamber) {
        return;
    }
    const Header h = header(bank, model);
    sheet.add("slot.cd",
              slot.cd ? "Cd of the slot, as stated"
                      : "Cd of the slot, small pressure drop, Reynolds number 1e5",
              "1",
              h.cd);
    sheet.add("slot.effective_area", "Cd x area of the slot", "m2", h.effective_area);
    if (!bank.throttles.empty()) {
        sheet.add("slot.to_throttle",
                  bank.throttles.size() > 1
                      ? "effective area of the slot over that of all throttles, wide open"
                      : "effective area of the slot over that of the throttle, wide open",
                  "1",
                  h.effective_area / throttle_effective_area(bank));
    }
    sheet.add("header.number",
              "header number m = sqrt(theta) Cd x slot area / pre-chamber section at the feed",
              "1",
              h.number);
    sheet.add("header.dynamic_heads",
              "slot pressure drop in dynamic heads of the pre-chamber at the feed, steady",
              "1",
              h.dynamic_heads);
    if (h.uniform && h.number < 0.5 * std::numbers::pi) {
        sheet.add("header.spread",
                  "spread of steady slot flow along x, closed form without jet and friction",
                  "1",
                  h.spread);
    }
}

bool alike(const Bank& bank) {
    const auto& first = bank.runners.front();
    return std::all_of(bank.runners.begin(), bank.runners.end(), [&](const auto& r) {
        return r.length == first.length && r.diameter.x() == first.diameter.x() &&
               r.diameter.value() == first.diameter.value();
    });
}

void add_runners(const Bank& bank, Sheet& sheet) {
    const bool one = alike(bank);
    for (std::size_t i = 0; i < (one ? 1 : bank.runners.size()); ++i) {
        const auto& runner = bank.runners[i];
        const bool numbered = bank.cylinders.size() == bank.runners.size();
        const std::string number =
            std::to_string(numbered ? bank.cylinders[i] : static_cast<int>(i) + 1);
        const std::string key = one ? "runner." : "runner." + number + ".";
        const std::string which = one ? "each runner" : "runner " + number;
        sheet.add(key + "mouth_area", "area of the mouth of " + which, "m2", runner.mouth_area());
        const double end = runner.diameter.at(runner.length);
        sheet.add(key + "end_area",
                  "area at the valve end of " + which,
                  "m2",
                  0.25 * std::numbers::pi * end * end);
        sheet.add(key + "volume", "volume of " + which + ", port included", "m3", runner.volume());
        sheet.add(key + "length_ratio",
                  "length over mouth diameter of " + which,
                  "1",
                  runner.length / runner.mouth_diameter());
        if (bank.plenum) {
            sheet.add(key + "area_ratio",
                      "mouth area of " + which + " over the plenum section there",
                      "1",
                      runner.mouth_area() / bank.plenum->area.at(runner.x));
        }
    }
}

void add_clearances(const Bank& bank, Sheet& sheet) {
    std::vector<double> x;
    double end = HUGE_VAL;
    double wall = HUGE_VAL;
    for (const auto& runner : bank.runners) {
        x.push_back(runner.x);
        if (bank.plenum) {
            end = std::min(end,
                           geometry::end_clearance(runner, *bank.plenum) / runner.mouth_diameter());
        }
        if (runner.wall_clearance) {
            wall = std::min(wall, *runner.wall_clearance / runner.mouth_diameter());
        }
    }
    if (std::isfinite(end)) {
        sheet.add("runner.end_clearance_ratio",
                  "least gap from mouth edge to end wall over mouth diameter",
                  "1",
                  end);
    }
    if (std::isfinite(wall)) {
        sheet.add("runner.wall_clearance_ratio",
                  "least gap from bell to opposite wall over mouth diameter",
                  "1",
                  wall);
    }
    std::sort(x.begin(), x.end());
    double pitch = HUGE_VAL;
    for (std::size_t i = 1; i < x.size(); ++i) {
        if (x[i] > x[i - 1]) {
            pitch = std::min(pitch, x[i] - x[i - 1]);
        }
    }
    if (std::isfinite(pitch)) {
        sheet.add("runner.pitch", "least distance between neighbouring mouths along x", "m", pitch);
    }
}

}  // namespace

void add_engine(const geometry::Engine& engine, Sheet& sheet) {
    const double swept = engine.swept_volume();
    sheet.add("engine.cylinder_displacement", "swept volume of one cylinder", "m3", swept);
    sheet.add(
        "engine.displacement", "swept volume of the engine", "m3", engine.cylinder_count() * swept);
    sheet.add("engine.clearance_volume",
              "clearance volume of one cylinder",
              "m3",
              engine.clearance_volume());
    sheet.add("engine.piston_area", "area of one piston", "m2", swept / engine.stroke);
    sheet.add("engine.rod_ratio", "rod length over stroke", "1", engine.rod / engine.stroke);
    if (engine.max_speed) {
        sheet.add("engine.mean_piston_speed",
                  "mean piston speed at the highest speed",
                  "m/s",
                  engine.stroke * *engine.max_speed / std::numbers::pi);
    }
    add_valve(engine.intake, "intake", sheet);
    add_valve(engine.exhaust, "exhaust", sheet);
    sheet.add("valve.overlap",
              "crank angle with both valves open, events at their checking lifts",
              "rad",
              std::max(0.0, engine.exhaust.closes - engine.intake.opens));
}

void add_bank(const geometry::Bank& bank, const Model& model, double swept, Sheet& sheet) {
    add_throttles(bank, sheet);
    if (bank.pre_chamber) {
        add_chamber(*bank.pre_chamber, "pre_chamber", "pre-chamber", swept, sheet);
    }
    if (bank.slot) {
        add_slot(bank, model, sheet);
    }
    if (bank.plenum) {
        add_chamber(*bank.plenum, "plenum", "plenum", swept, sheet);
        if (bank.pre_chamber && swept > 0) {
            sheet.add("chambers.volume_ratio",
                      "volume of pre-chamber and plenum over swept volume",
                      "1",
                      (bank.pre_chamber->volume() + bank.plenum->volume()) / swept);
        }
    }
    if (!bank.runners.empty()) {
        add_runners(bank, sheet);
        add_clearances(bank, sheet);
    }
}

}  // namespace plenair::study

#include "cases/file/start_writer.hpp"

#include <algorithm>
#include <cstddef>

/// The sections of a started case that describe a bank: throttle, chambers, slot, runners.
namespace plenair::file {

void StartWriter::parts(int bank) {
    if (written_.banks == 2) {
        draft_.section("[[bank]]", bank == 0 ? "Each bank has its own throttle and plenum." : "");
        draft_.plain(bank == 0 ? "name = \"first\"" : "name = \"second\"");
        std::vector<int> cylinders(static_cast<std::size_t>(frame_.per_bank));
        for (int i = 0; i < frame_.per_bank; ++i) {
            cylinders[static_cast<std::size_t>(i)] = bank * frame_.per_bank + i + 1;
        }
        draft_.plain(fmt::format("cylinders = [{}]", fmt::join(cylinders, ", ")));
    }
    throttle();
    if (metal_.slot) {
        pre_chamber_and_slot();
    }
    plenum();
    runner();
}

void StartWriter::throttle() {
    draft_.section(header("throttle"), "");
    (void)draft_.length(
        "throttle.bore",
        metal_.throttle,
        {fmt::format("common practice: {:.0f} m/s through the open throttle at most speed",
                     rules::throttle_velocity(frame_.per_bank)),
         "10 %"});
    (void)draft_.length("throttle.shaft", 0.14 * metal_.throttle, {"common practice: 0.14 bores"});
    (void)draft_.entry("throttle.closed_angle", "\"8 deg\"", practice);
    (void)draft_.number(
        "throttle.cd", "0.95", {"common practice; the band of the throttle coefficient covers it"});
    (void)draft_.entry(
        "throttle.cd_area", "\"open\"", {}, "open: beside shaft and plate; bore: all of it");
    (void)draft_.entry("throttle.feeds", metal_.slot ? "\"pre_chamber\"" : "\"plenum\"", {});
    if (plan_.feed) {
        draft_.given["throttle.position"] = *plan_.feed == StartFeed::end   ? "\"end\""
                                            : *plan_.feed == StartFeed::far ? "\"far\""
                                                                            : "\"side\"";
        if (*plan_.feed == StartFeed::side) {
            draft_.given["throttle.x"] =
                fmt::format("\"{}\"",
                            geometry::format_in(plan_.feed_x.value_or(0.5 * metal_.length),
                                                request_.inches ? "in" : "mm") +
                                (request_.inches ? " in" : " mm"));
        }
    }
    (void)draft_.entry("throttle.position", "\"end\"", practice, "end (x = 0), far, or side at x");
    draft_.rest_of("throttle");
}

void StartWriter::pre_chamber_and_slot() {
    draft_.section(header("pre_chamber"), "");
    const double length = draft_.length("pre_chamber.length", metal_.length, {"as the plenum"});
    if (!is_stated("pre_chamber.diameter")) {
        (void)draft_.area(
            "pre_chamber.area",
            std::max(0.6 * metal_.plenum_area, 1.3 * disc(metal_.throttle)),
            {"common practice: 0.6 of the plenum's, 1.3 throttle bores at least", "20 %"});
    }
    (void)draft_.entry("pre_chamber.wall_temperature", "\"325 K\"", practice);
    draft_.rest_of("pre_chamber");

    draft_.section(header("slot"), "The metering slot between pre-chamber and plenum.");
    const double margin = std::min(6 * millimetre, 0.05 * length);
    const double x = draft_.length("slot.x", margin, practice);
    const double slot_length =
        draft_.length("slot.length", length - 2 * x, {"as the chambers, less its ends"});
    const double part = frame_.boosted ? 0.022 : 0.007;
    const double width = draft_.length(
        "slot.width",
        std::clamp(
            rules::slot_width(frame_, slot_length, part, 0.85), 2 * millimetre, 25 * millimetre),
        {fmt::format("sized to take about {} % of the pressure at most speed",
                     geometry::format_number(100 * part, 2)),
         "15 %"});
    if (!is_stated("slot.cd")) {
        const double land = draft_.length("slot.land", 8 * millimetre, practice, "wall thickness");
        (void)draft_.length("slot.edge_radius",
                            std::min({0.3 * width, 3 * millimetre, 0.45 * land}),
                            {"common practice; it decides several % of the slot's flow", "50 %"},
                            "pre-chamber side");
        (void)draft_.length("slot.outlet_edge", 0.2 * millimetre, practice, "plenum side");
    }
    draft_.rest_of("slot");
}

void StartWriter::plenum() {
    draft_.section(header("plenum"), "");
    (void)draft_.length(
        "plenum.length", metal_.length, {"cylinder pitch, with room behind the last mouths"});
    if (!is_stated("plenum.diameter")) {
        (void)draft_.area("plenum.area",
                          metal_.plenum_area,
                          {"common practice: 1.4 times what the cylinders sweep, and room over the "
                           "bell mouths",
                           "25 %"});
        (void)draft_.length("plenum.height", metal_.plenum_height, {"a square section"});
    }
    (void)draft_.entry("plenum.wall_temperature", "\"325 K\"", practice);
    draft_.rest_of("plenum");
}

double StartWriter::clearance_over_bell() const {
    // From the sizes as written, and rounded down: the bell has to fit under the wall.
    const auto written = [this](const char* key, double metres) {
        return is_stated(key) ? metres : draft_.drawn_length(metres);
    };
    const double room = written(is_stated("plenum.diameter") ? "plenum.diameter" : "plenum.height",
                                metal_.plenum_height) -
                        written("runner.protrusion", metal_.protrusion);
    double clearance = draft_.drawn_length(room);
    for (double less = room; clearance > room + 1e-9 && less > 0; less -= 0.1 * millimetre) {
        clearance = draft_.drawn_length(less);
    }
    return clearance;
}

void StartWriter::runner() {
    draft_.section(header("runner"), "One value for all runners, or a list with one for each.");
    const double first = 0.5 * (metal_.length - (frame_.per_bank - 1) * frame_.pitch);
    std::vector<double> x;
    for (int i = 0; i < frame_.per_bank; ++i) {
        x.push_back(first + i * frame_.pitch);
    }
    (void)draft_.entry("runner.x",
                       draft_.lengths_toml(x),
                       {"the cylinder pitch, centred"},
                       "centres of the mouths");
    (void)draft_.length(
        "runner.length",
        std::max(metal_.column - metal_.port_length, 0.6 * metal_.port_length),
        {"quarter-wave estimate, fourth oscillation at most speed, less the port", "15 %"},
        "plenum floor to head flange");
    const auto taper = [this](double start, double end) {
        return fmt::format("{{ start = \"{}\", end = \"{}\" }}",
                           draft_.length_text(start),
                           draft_.length_text(end));
    };
    (void)draft_.entry("runner.diameter",
                       taper(metal_.mouth, metal_.flange),
                       {"common practice: from the port, a slight taper"},
                       "mouth to flange");
    (void)draft_.length("runner.port_length",
                        metal_.port_length,
                        {"common practice: 1.05 bores", "15 %"},
                        "flange to valve seat");
    (void)draft_.entry("runner.port_diameter",
                       taper(metal_.flange, metal_.port),
                       {"common practice: 0.87 of the valve throats' area at the seat"});
    (void)draft_.length(
        "runner.bell_radius", metal_.bell_radius, {"common practice: 0.25 of the mouth"});
    (void)draft_.length("runner.bell_outer_diameter", metal_.bell_outer, {"mouth and both radii"});
    (void)draft_.length(
        "runner.protrusion", metal_.protrusion, practice, "bell mouth above the floor");
    (void)draft_.length("runner.wall_clearance",
                        clearance_over_bell(),
                        {"plenum height less the protrusion"},
                        "bell mouth to the opposite wall");
    (void)draft_.entry("runner.roughness", "\"3.2 um\"", practice);
    (void)draft_.entry("runner.wall_temperature", "\"340 K\"", practice);
    (void)draft_.entry("runner.port_wall_temperature", "\"370 K\"", practice);
    draft_.rest_of("runner");
}

}  // namespace plenair::file
